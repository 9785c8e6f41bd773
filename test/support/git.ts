import { spawnSync } from 'node:child_process';

/** Of nobody's own settings: a name to commit by, and no signing, hooks or merge tools of the machine that it runs on. */
const ENV = {
  GIT_CONFIG_GLOBAL: '/dev/null',
  GIT_CONFIG_SYSTEM: '/dev/null',
  GIT_AUTHOR_NAME: 'A',
  GIT_AUTHOR_EMAIL: 'a@example.org',
  GIT_COMMITTER_NAME: 'A',
  GIT_COMMITTER_EMAIL: 'a@example.org',
};

/** Runs git in a folder, and returns what it wrote. */
export function git(root: string, ...args: string[]): string {
  const run = spawnSync('git', ['-C', root, ...args], { encoding: 'utf8', env: { ...process.env, ...ENV } });
  if (run.status !== 0) throw new Error(`git ${args.join(' ')}: ${run.stderr}`);
  return run.stdout;
}
