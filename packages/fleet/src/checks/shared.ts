import { toInternal } from '../written/quantity.ts';
import type { BoardsFile, CuttersFile, HouseFile } from '../written/shared.ts';
import type { Fault } from './fault.ts';
import { FaultList } from './report.ts';

function cutters(file: CuttersFile, out: FaultList): void {
  const numbers = new Map<number, string>();
  const mm = (value: number | string) => toInternal(value, 'length', file.units);
  for (const [id, c] of Object.entries(file.cutters)) {
    const path = ['cutters', id];
    const other = numbers.get(c.number);
    if (other !== undefined && c.number > 0) {
      out.warn(
        'repeated-number',
        [...path, 'number'],
        `cutters \`${other}\` and \`${id}\` have the same tool number ${c.number}`,
        'give each its own number, unless they never are in one machine',
      );
    } else {
      numbers.set(c.number, id);
    }
    for (const [material, load] of Object.entries(c.chip_load)) {
      if (mm(load[0]) > mm(load[1])) {
        out.stop(
          'range-reversed',
          [...path, 'chip_load', material],
          `the chip load of ${id} in ${material} runs from ${load[0]} to ${load[1]}, expected the least first`,
          'exchange the two numbers',
        );
      } else if (mm(load[1]) > mm(c.diameter) / 4) {
        out.stop(
          'not-plausible',
          [...path, 'chip_load', material],
          `a chip of ${load[1]} is more than a quarter of the diameter of ${id}`,
          'check the unit',
        );
      }
    }
    if (c.stick_out !== undefined && mm(c.stick_out) < mm(c.cutting_length)) {
      out.stop(
        'stick-out',
        [...path, 'stick_out'],
        `${id} stands out ${c.stick_out}, less than its cutting length ${c.cutting_length}`,
        'correct one of them',
      );
    }
    const pointed = c.kind === 'v-point' || c.kind === 'drill';
    if (c.kind === 'v-point' && (c.point_angle === undefined || c.point_angle >= 180)) {
      out.stop(
        'point-angle',
        c.point_angle === undefined ? path : [...path, 'point_angle'],
        `the pointed cutter ${id} has no angle of its point`,
        'add `point_angle`, the full angle in degrees',
      );
    }
    if (!pointed && c.point_angle !== undefined && c.point_angle < 180) {
      out.stop(
        'point-angle',
        [...path, 'point_angle'],
        `${id} is of kind \`${c.kind}\` and has a flat end, found a point of ${c.point_angle} degrees`,
        'leave `point_angle` out, or correct `kind`',
      );
    }
    if (mm(c.diameter) > 300 || mm(c.diameter) < 0.2) {
      out.stop(
        'not-plausible',
        [...path, 'diameter'],
        `a cutter of ${mm(c.diameter).toPrecision(4)} mm is not plausible, expected 0.2 to 300`,
        'check the unit',
      );
    }
  }
}

function boards(file: BoardsFile, out: FaultList): void {
  const mm = (value: number | string) => toInternal(value, 'length', file.units);
  for (const [id, b] of Object.entries(file.boards)) {
    const thickness = mm(b.thickness);
    if (thickness < 3 || thickness > 80) {
      out.stop(
        'not-plausible',
        ['boards', id, 'thickness'],
        `a board ${thickness.toPrecision(4)} mm thick is not plausible, expected 3 to 80`,
        'check the unit',
      );
    }
    if (Math.min(mm(b.sheet[0]), mm(b.sheet[1])) < 100) {
      out.stop(
        'not-plausible',
        ['boards', id, 'sheet'],
        `a sheet of ${b.sheet[0]} × ${b.sheet[1]} is not plausible`,
        'check the unit',
      );
    }
    const modulus = toInternal(b.modulus, 'modulus', file.units);
    if (modulus < 0.1 || modulus > 100) {
      out.stop(
        'not-plausible',
        ['boards', id, 'modulus'],
        `a modulus of ${modulus.toPrecision(4)} GPa is not plausible, expected 0.1 to 100 (MDF 1.4 to 4.0)`,
        'check the unit',
      );
    }
  }
}

function house(file: HouseFile, out: FaultList): void {
  const mm = (value: number | string) => toInternal(value, 'length', file.units);
  if (mm(file.survey.limit) < mm(file.survey.sigma)) {
    out.stop(
      'survey-limit',
      ['survey', 'limit'],
      `residuals above ${file.survey.limit} are refused, but readings scatter by ${file.survey.sigma}`,
      'write a limit of three to four times `sigma`',
    );
  }
}

/** Facts of one shared file that contradict each other or cannot be. */
export function sharedFaults(file: 'cutters' | 'boards' | 'fixings' | 'house', written: unknown): Fault[] {
  const out = new FaultList();
  if (file === 'cutters') cutters(written as CuttersFile, out);
  else if (file === 'boards') boards(written as BoardsFile, out);
  else if (file === 'house') house(written as HouseFile, out);
  return out.faults;
}
