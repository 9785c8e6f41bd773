import { planMachine, type WorkPlan } from '@bedledger/bedwork';
import { withHead, withWasher } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import { applyTransform, register } from '@bedledger/geometry';
import { describe, expect, it } from 'vitest';
import {
  bare,
  demoRecord,
  demoRecords,
  withLayout,
  withMachine,
} from '../../../test/support/demo-records.ts';
import { bedDrawing } from './bed/bed-drawing.ts';
import { pathDrawing } from './bed/path-drawing.ts';
import { surveyDrawing } from './bed/survey-drawing.ts';
import { stackDrawing } from './stack/stack-drawing.ts';
import { type DrawingFacts, readDrawing } from './testing/drawing-facts.ts';
import { findAll } from './testing/strict-xml.ts';

const NASTY = `</text><script>alert("1")</script> & ' ]]> \u0000\u001b[2J\ud800 ${'very long '.repeat(20)}`;

/** Scales of ISO 5455: 1, 2 and 5 times a power of ten, to one. */
const ISO_5455 = /^(?:1:(?:1|2|5)0*|(?:2|5|10|20|50):1)$/;

/** What holds for every drawing, whatever is on it. */
function holds(svg: string, scaled = true): DrawingFacts {
  const facts = readDrawing(svg);
  if (scaled) expect(facts.scaleText).toMatch(ISO_5455);
  for (const height of facts.letterings) expect(height).toBeGreaterThanOrEqual(1.8 - 1e-3);
  // Frame of the sheet, 8 mm inside the paper; half a wide line of grace.
  for (const [x, y] of facts.points) {
    expect(x).toBeGreaterThanOrEqual(7.7);
    expect(x).toBeLessThanOrEqual(facts.width - 7.7);
    expect(y).toBeGreaterThanOrEqual(7.7);
    expect(y).toBeLessThanOrEqual(facts.height - 7.7);
  }
  const names = new Set(findAll(facts.root, () => true).map((e) => e.name));
  for (const name of names)
    expect(['svg', 'title', 'defs', 'pattern', 'g', 'rect', 'path', 'circle', 'text']).toContain(name);
  expect(svg).not.toMatch(/NaN|Infinity|undefined|\bnull\b/);
  return facts;
}

const titled = (record: MachineRecord, title: string): MachineRecord => withMachine(record, { title });

/** As many sites as asked for, on a grid of the board, by `given`. */
function withSites(record: MachineRecord, columns: number, rows: number): MachineRecord {
  const { at, size } = record.machine.board;
  const sites = Array.from({ length: columns * rows }, (_, k) => ({
    id: `${String.fromCharCode(65 + Math.floor(k / columns))}${(k % columns) + 1}`,
    at: [
      at[0] + (size[0] * ((k % columns) + 0.5)) / columns,
      at[1] + (size[1] * (Math.floor(k / columns) + 0.5)) / rows,
    ] as const,
  }));
  return withLayout(record, { pattern: 'given', sites });
}

/** The machine with a rectangular bed and board of that size and nothing in it. */
function sized(record: MachineRecord, width: number, height: number): MachineRecord {
  const { machine } = record;
  return withSites(
    withMachine(bare(record), {
      bed: {
        ...machine.bed,
        outline: { kind: 'rect', at: [0, 0], size: [width, height] },
        zones: [],
        keepOuts: [],
        holes: [],
        slots: [],
      },
      board: { ...machine.board, at: [0, 0], size: [width, height] },
      travel: { ...machine.travel, x: [0, width], y: [0, height] },
      clamps: [],
      datum: { ...machine.datum, mark: [0, 0], second: [width, 0] },
    }),
    2,
    2,
  );
}

describe.each(demoRecords().map((r) => [r.machine.id, r] as const))('%s', (_, record) => {
  const plan = planMachine(record);

  it('the bed drawing is well formed, inside its frame, at a standard scale, and the same every time', () => {
    const svg = bedDrawing(plan);
    holds(svg);
    expect(bedDrawing(planMachine(record))).toBe(svg);
  });

  it('every site stands where the survey has it', () => {
    const facts = holds(bedDrawing(plan));
    const origin = facts.sites.get('datum mark') as readonly [number, number];
    const { mark } = record.machine.datum;
    expect(facts.sites.size).toBe(plan.layout.sites.length + 2);
    for (const site of plan.layout.sites) {
      const [x, y] = facts.sites.get(site.id) as readonly [number, number];
      const scale = facts.scale as number;
      // Derived: paper = thing × scale, Y up. Coordinates are printed to a thousandth.
      expect(Math.abs(x - origin[0] - (site.actual[0] - mark[0]) * scale)).toBeLessThan(0.01);
      expect(Math.abs(origin[1] - y - (site.actual[1] - mark[1]) * scale)).toBeLessThan(0.01);
    }
  });

  it('the section is well formed, and its figures are those of the tightest stack', () => {
    const facts = holds(stackDrawing(plan));
    const shown = facts.texts.find((t) => t.startsWith('section at'));
    const site = plan.layout.sites.find((s) => shown?.startsWith(`section at ${s.id},`));
    const stack = plan.stacks.get(site?.id as string);
    expect(stack).toBeDefined();
    const figures = facts.texts.join('|');
    const shownLength = (mm: number): string =>
      record.machine.units === 'mm' ? mm.toFixed(2) : (mm / 25.4).toFixed(3);
    for (const [word, value] of [
      ['web', stack!.web],
      ['cover', stack!.cover],
      ['screw', stack!.screwLength],
      ['bore', stack!.handDrill.depth],
    ] as const)
      expect(figures).toContain(`${word} ${shownLength(value)}`);
  });

  it('a title with markup, control characters and no end stays a title', () => {
    for (const svg of [bedDrawing, stackDrawing].map((draw) => draw(planMachine(titled(record, NASTY))))) {
      const facts = holds(svg);
      expect(svg).not.toContain('<script');
      expect(facts.texts.some((t) => t.startsWith('</text><script>'))).toBe(true);
    }
  });
});

describe('beds of every size and shape', () => {
  const heron = demoRecord('heron');

  it.each([
    [60, 40],
    [300, 200],
    [5000, 2000],
    [80_000, 20_000],
    [30, 4000],
  ])('%d × %d mm', (width, height) => {
    const plan = planMachine(sized(heron, width, height));
    holds(bedDrawing(plan));
    holds(stackDrawing(plan), plan.stacks.size > 0);
  });

  it('a hundred and twenty sites: every glyph is there, the table says where the rest is', () => {
    const plan = planMachine(withSites(heron, 8, 15));
    expect(plan.layout.sites.length).toBe(120);
    const facts = holds(bedDrawing(plan));
    expect(facts.sites.size).toBe(122);
    const more = facts.texts.find((t) => /^and \d+ more: holes.csv/.test(t));
    const rows = facts.texts.filter((t) => t === 'planned').length;
    if (more !== undefined) expect(rows - 1 + Number(/\d+/.exec(more)?.[0])).toBe(120);
    else expect(rows - 1).toBe(120);
  });

  it('no site at all is said in words', () => {
    const plan: WorkPlan = planMachine(heron);
    const none = { ...plan, layout: { ...plan.layout, sites: [], rows: [], columns: [] }, stacks: new Map() };
    holds(bedDrawing(none));
    expect(holds(stackDrawing(none), false).texts).toContain('this machine has no site yet');
  });

  it('a filled hole is crossed, and its row has no figures', () => {
    const plan = planMachine(heron);
    const [first, ...rest] = plan.layout.sites;
    const sites = [{ ...first!, state: 'filled' as const }, ...rest];
    const stacks = new Map(plan.stacks);
    stacks.delete(first!.id);
    const facts = holds(bedDrawing({ ...plan, layout: { ...plan.layout, sites }, stacks }));
    expect(facts.texts).toContain('–');
    expect(facts.texts.filter((t) => t === 'filled').length).toBe(2);
  });
});

describe('stacks of every kind', () => {
  const heron = demoRecord('heron');
  const draw = (record: MachineRecord): DrawingFacts => {
    const plan = planMachine(record);
    return holds(stackDrawing(plan), plan.stacks.size > 0);
  };

  it('countersunk: the cone is cut into the web and the screw is measured over all', () => {
    // ISO 10642 heads are measured over all (ISO 225), so the top of the head is one screw length above its end.
    const fixing = withHead(heron.planned, 'iso10642-countersunk');
    expect(fixing).not.toBeNull();
    const record = {
      ...withMachine(heron, {}),
      planned: fixing!,
      house: { ...heron.house, stack: { ...heron.house.stack, growth: 'restrain' as const } },
    };
    const plan = planMachine(record);
    const stack = [...plan.stacks.values()][0];
    expect(stack?.countersink).toBeDefined();
    holds(stackDrawing(plan));
  });

  it('without a washer, and with none named in the legend', () => {
    const record = {
      ...heron,
      planned: withWasher(heron.planned, null),
      house: { ...heron.house, stack: { ...heron.house.stack, growth: 'restrain' as const } },
    };
    expect(draw(record).texts).not.toContain('washer');
    expect(draw(heron).texts).toContain('washer');
  });

  it('before a board is measured', () => {
    draw({ ...heron, state: { ...heron.state, board: null } });
  });

  it('hatchings of neighbours differ in angle or pitch (ISO 128-3), and are defined once', () => {
    const facts = draw(heron);
    const patterns = findAll(facts.root, (e) => e.name === 'pattern');
    const ids = patterns.map((p) => p.attributes.id);
    expect(new Set(ids).size).toBe(ids.length);
    const kinds = patterns
      .filter((p) => p.attributes.patternTransform !== undefined)
      .map((p) => `${p.attributes.patternTransform} ${p.attributes.width}`);
    expect(new Set(kinds).size).toBe(kinds.length);
    for (const e of findAll(facts.root, (f) => f.attributes.fill?.startsWith('url(') === true))
      expect(ids).toContain(/#([\w-]+)/.exec(e.attributes.fill as string)?.[1]);
  });
});

describe('survey and path', () => {
  const avocet = demoRecord('avocet');

  it('residual arrows start at the fitted places and the suspect is named in words', () => {
    const features = (avocet.survey?.features ?? []).filter((f) => f.measured !== null);
    expect(features.length).toBeGreaterThan(4);
    const pairs = features.map((f, i) => ({
      id: f.id,
      from: f.nominal,
      // One misread mark, 6 mm off.
      to: [f.measured![0] + (i === 2 ? 6 : 0), f.measured![1]] as const,
    }));
    const registration = register(pairs, { sigma: 0.15 });
    const facts = holds(surveyDrawing(avocet, registration));
    expect(registration.suspect).toBe(features[2]!.id);
    expect(facts.texts.filter((t) => t.endsWith('measure again'))).toHaveLength(1);
    const circles = findAll(facts.root, (e) => e.name === 'circle' && e.attributes.r === '1.1');
    expect(circles.length).toBe(features.length);
    const at = features.map((f) => applyTransform(registration.transform, f.nominal));
    for (let i = 1; i < at.length; i++) {
      const dx = Number(circles[i]!.attributes.cx) - Number(circles[0]!.attributes.cx);
      expect(Math.abs(dx - (at[i]![0] - at[0]![0]) * (facts.scale as number))).toBeLessThan(0.01);
    }
  });

  it('a path far outside the bed is drawn to the frame and no farther', () => {
    const facts = holds(
      pathDrawing(avocet, {
        segments: [
          { from: [0, 0], to: [500, 500], z: 10, rapid: false },
          { from: [500, 500], to: [90_000, -70_000], z: -3, rapid: false },
          { from: [90_000, -70_000], to: [-90_000, 500], z: 30, rapid: true },
        ],
        metal: [{ at: [-4e5, 0], radius: 5 }],
        marks: Array.from({ length: 14 }, (_, i) => ({
          at: [i * 1e4, 0] as const,
          text: `mark ${i} ${NASTY}`,
          stop: true,
        })),
        title: NASTY,
        verdict: NASTY,
        boardTop: 18,
      }),
    );
    expect(facts.points.length).toBeGreaterThan(10);
  });

  it('an empty program is an empty bed', () => {
    holds(pathDrawing(avocet, { segments: [], metal: [], marks: [], title: '', verdict: '', boardTop: 18 }));
  });
});
