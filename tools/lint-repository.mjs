// Laws of the repository that no linter knows. Every finding is one sentence that names the file and the fix.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import { ROOT } from './steps.mjs';

/** Which packages each package may use: dependencies point one way. The checker never sees the generator. */
const LAYERS = {
  diagnostics: [],
  geometry: [],
  fasteners: ['diagnostics', 'geometry'],
  fleet: ['diagnostics', 'geometry', 'fasteners'],
  bedwork: ['diagnostics', 'geometry', 'fasteners', 'fleet'],
  posts: ['diagnostics', 'geometry', 'fasteners', 'fleet', 'bedwork'],
  checker: ['diagnostics', 'geometry', 'fasteners', 'fleet'],
  drawings: ['diagnostics', 'geometry', 'fasteners', 'fleet', 'bedwork', 'posts', 'checker'],
  cli: ['diagnostics', 'geometry', 'fasteners', 'fleet', 'bedwork', 'posts', 'checker', 'drawings'],
};

/**
 * Folders of a package from the lowest floor to the highest: a file imports from its own folder and from lower floors.
 * Folders of one floor do not import each other. Files beside the folders are named with their ending.
 */
const FLOORS = {
  bedwork: [
    ['rules'],
    ['report.ts'],
    ['base'],
    ['survey'],
    ['lands'],
    ['layout'],
    ['motion'],
    ['work'],
    ['feeds', 'surfacing', 'time', 'vacuum'],
    ['operations'],
    ['run-order'],
    ['plan'],
    ['index.ts'],
  ],
};

const problems = [];
const read = (path) => readFileSync(join(ROOT, path), 'utf8');
const json = (path) => JSON.parse(read(path));

function sources(folder) {
  const found = [];
  const walk = (at) => {
    for (const entry of readdirSync(join(ROOT, at), { withFileTypes: true })) {
      if (entry.name === 'node_modules' || entry.name === 'dist') continue;
      const path = `${at}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else if (/\.(ts|mts|js|mjs)$/.test(entry.name)) found.push(path);
    }
  };
  walk(folder);
  return found;
}

/** What a source file imports: static, side-effect, re-exported and dynamic imports. Strings that talk of imports do not count. */
function importsOf(text) {
  const pattern =
    /(?:^|\n)\s*(?:import|export)\s[^;'"`]*?\bfrom\s+'([^']+)'|(?:^|\n)\s*import\s+'([^']+)'|\bimport\(\s*'([^']+)'\s*\)/g;
  return [...text.matchAll(pattern)].map((m) => m[1] ?? m[2] ?? m[3]);
}

/** The first part of a path below a package's src: a folder, or a file beside the folders. */
function partOf(name, path) {
  return path.slice(`packages/${name}/src/`.length).split('/')[0];
}

/** Tests, benches and their helpers may look everywhere in their own package. */
function isTest(file) {
  return /\.(test|bench)\.ts$/.test(file) || file.includes('/testing/');
}

for (const [name, floors] of Object.entries(FLOORS)) {
  const floorOf = (part) => floors.findIndex((parts) => parts.includes(part));
  for (const file of sources(`packages/${name}/src`)) {
    if (isTest(file)) continue;
    const part = partOf(name, file);
    if (floorOf(part) === -1) {
      problems.push(`${file}: give ${part} a floor in tools/lint-repository.mjs`);
      continue;
    }
    for (const target of importsOf(read(file))) {
      if (!target.startsWith('.')) continue;
      const other = partOf(name, posix.join(posix.dirname(file), target));
      if (other !== part && floorOf(other) >= floorOf(part))
        problems.push(`${file}: ${part} may not import from ${other}, which is not below it`);
    }
  }
}

/** The text of a call's arguments, from the position after its opening bracket. */
function argumentsAt(text, start) {
  let depth = 1;
  let at = start;
  while (at < text.length && depth > 0) {
    if (text[at] === '(') depth++;
    else if (text[at] === ')') depth--;
    at++;
  }
  return text.slice(start, at - 1);
}

// A test that fails once and never again helps nobody: whatever is random in the sources has a seed.
for (const file of [
  ...readdirSync(join(ROOT, 'packages')).flatMap((name) => sources(`packages/${name}/src`)),
  ...(existsSync(join(ROOT, 'test')) ? sources('test') : []),
]) {
  const text = read(file);
  for (const match of text.matchAll(/\bfc\s*\.(assert|check|sample)\(/g)) {
    const call = argumentsAt(text, match.index + match[0].length);
    const line = text.slice(0, match.index).split('\n').length;
    if (!/\bseed\b/.test(call) && !/\bSEEDED\b/.test(call))
      problems.push(`${file}:${line}: fc.${match[1]} without a seed; give it one`);
  }
  if (/\bMath\.random\(/.test(text)) problems.push(`${file}: Math.random has no seed; use seededRandom`);
}

for (const name of Object.keys(LAYERS)) {
  const manifestPath = `packages/${name}/package.json`;
  const manifest = json(manifestPath);
  // The command's bundle holds what it depends on, so that whoever installs it needs nothing else.
  const bundled = name === 'cli';
  const declared = Object.keys((bundled ? manifest.devDependencies : manifest.dependencies) ?? {});
  if (bundled && manifest.dependencies !== undefined)
    problems.push(`${manifestPath}: the bundle holds its dependencies; list them as devDependencies`);
  const ours = declared.filter((d) => d.startsWith('@bedledger/')).map((d) => d.slice('@bedledger/'.length));
  for (const other of ours) {
    if (!LAYERS[name].includes(other))
      problems.push(`${manifestPath}: ${name} may not depend on ${other}; move the code or the dependency`);
  }
  for (const file of ['README.md', 'LICENSE']) {
    if (!existsSync(join(ROOT, `packages/${name}/${file}`))) problems.push(`packages/${name}: add ${file}`);
  }
  if (manifest.license !== 'MIT') problems.push(`${manifestPath}: license must be MIT`);
  if (manifest.type !== 'module') problems.push(`${manifestPath}: type must be module`);
  if (manifest.exports?.['.']?.['@bedledger/source'] !== './src/index.ts') {
    problems.push(`${manifestPath}: exports must offer ./src/index.ts under @bedledger/source`);
  }
  for (const file of sources(`packages/${name}/src`)) {
    const test = isTest(file);
    for (const target of importsOf(read(file))) {
      const our = /^@bedledger\/([a-z]+)(\/.*)?$/.exec(target);
      if (our) {
        if (our[2]) problems.push(`${file}: import ${target} from the package's index instead`);
        // The checker's independence holds for its tests too.
        if ((!test || name === 'checker') && our[1] !== name && !LAYERS[name].includes(our[1])) {
          problems.push(`${file}: ${name} may not import ${our[1]}`);
        }
      } else if (target.startsWith('.')) {
        const depth = file.split('/').length - 2 - 1;
        const up = target.split('/').filter((part) => part === '..').length;
        if (!test && up >= depth)
          problems.push(`${file}: import ${target} leaves the package; use its index`);
      } else if (!test && !target.startsWith('node:')) {
        const bare = target.startsWith('@') ? target.split('/').slice(0, 2).join('/') : target.split('/')[0];
        if (!declared.includes(bare))
          problems.push(`${file}: ${bare} is not among the dependencies of ${manifestPath}`);
      }
    }
  }
}

/** Where a relative import of `file` leads, as a path from the root; null where it leads to no source file. */
function targetOf(file, target) {
  if (!target.startsWith('.')) return null;
  return join(file, '..', target).replaceAll('\\', '/');
}

/**
 * One circle of imports through every group of files that import each other, as paths in order. Type imports count too: what
 * can only be understood together cannot be changed apart.
 */
function importCircles(files) {
  const targets = new Map(files.map((file) => [file, importsOf(read(file)).map((t) => targetOf(file, t))]));
  const circles = [];
  const finished = new Set();
  const path = [];
  const walk = (file) => {
    if (finished.has(file) || !targets.has(file)) return;
    const at = path.indexOf(file);
    if (at >= 0) {
      circles.push([...path.slice(at), file]);
      return;
    }
    path.push(file);
    for (const target of targets.get(file)) walk(target);
    path.pop();
    finished.add(file);
  };
  for (const file of files) walk(file);
  return circles;
}

const circles = Object.keys(LAYERS).flatMap((name) => {
  const folder = `packages/${name}/src`;
  return importCircles(sources(folder)).map(
    (circle) => `${folder}: ${circle.map((file) => file.slice(folder.length + 1)).join(' → ')}`,
  );
});
for (const circle of circles) {
  problems.push(`${circle}: imports run in a circle; move what they share into a file of its own`);
}

const references = json('tsconfig.json').references.map((r) => r.path.replace('packages/', ''));
for (const name of Object.keys(LAYERS)) {
  if (!references.includes(name)) problems.push(`tsconfig.json: add a reference to packages/${name}`);
}
for (const entry of readdirSync(join(ROOT, 'packages'))) {
  if (!(entry in LAYERS))
    problems.push(`packages/${entry}: give it a place in the layers of tools/lint-repository.mjs`);
}
for (const entry of existsSync(join(ROOT, 'machines')) ? readdirSync(join(ROOT, 'machines')) : []) {
  const path = `machines/${entry}/package.json`;
  if (!existsSync(join(ROOT, path))) {
    problems.push(`machines/${entry}: a machine is a workspace package; add ${path}`);
    continue;
  }
  const manifest = json(path);
  if (manifest.private !== true) problems.push(`${path}: a machine's package must be private`);
  if (manifest.scripts?.check !== `bedledger check ${entry}`)
    problems.push(`${path}: scripts.check must be "bedledger check ${entry}"`);
}

for (const problem of problems) process.stdout.write(`${problem}\n`);
process.stdout.write(
  problems.length === 0 ? 'repository rules: fine\n' : `repository rules: ${problems.length} broken\n`,
);
process.exit(problems.length === 0 ? 0 : 1);
