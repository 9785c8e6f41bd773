import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { fileText } from '../load/files.ts';
import { loadShared, readMachineFiles } from '../load/load-fleet.ts';
import { parseMachine } from '../load/parse-machine.ts';

/** Avocet's board lies from -5, -5 to 1245, 1245; its ledger's last thickness is about 17 mm. */
const ROOT = fileURLToPath(new URL('../../../../', import.meta.url));
const shared = loadShared(ROOT);

function found(csv: string): string[] {
  const { files } = readMachineFiles(ROOT, 'avocet');
  const map = files.heights[0]!.path;
  const parsed = parseMachine({ ...files, heights: [fileText(map, csv)] }, shared);
  return parsed.diagnostics
    .filter((d) => d.code.startsWith('heights/'))
    .map((d) => `${d.severity} ${d.code} ${d.place?.line ?? '-'}`);
}

const four = '20,20,16.9\n1220,20,16.9\n1220,1220,16.9\n20,1220,16.9\n';

describe('the height map that the next skim starts from', () => {
  test('a map of the board is taken without a word', () => {
    expect(found(`x,y,z\n${four}`)).toEqual([]);
  });
  test.each<[string, string, string[]]>([
    [
      'not of this board at all',
      'x,y,z\n5000,0,16.9\n5100,0,16.9\n5000,90,16.9\n',
      ['stop heights/elsewhere 2'],
    ],
    ['one place beside it', `x,y,z\n${four}1400,20,16.9\n`, ['warn heights/beside-board 6']],
    ['one point', 'x,y,z\n600,600,16.9\n', ['warn heights/sparse -']],
    ['points on one line', 'x,y,z\n0,0,16.9\n600,600,16.8\n1200,1200,16.9\n', ['warn heights/sparse -']],
    // 25.4 mm an inch: 16.9 mm are 0.665 in
    ['inches for millimetres', `x,y,z\n${four.replaceAll('16.9', '0.665')}`, ['stop heights/unit -']],
    ['Z 0 on the board', `x,y,z\n${four.replaceAll('16.9', '-0.1')}`, ['stop heights/unit -']],
    ['a place misread by a centimetre', `x,y,z\n${four}600,600,26.9\n`, ['warn heights/disagrees 6']],
    ['a gouge', `x,y,z\n${four}600,600,6.9\n`, ['warn heights/disagrees 6']],
  ])('%s', (_, csv, expected) => {
    expect(found(csv)).toEqual(expected);
  });
});
