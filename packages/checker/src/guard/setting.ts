import { exactLength, exactPlace, type Units } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { bounds, boxOfBoth, type Region, rectangleRing } from '@bedledger/geometry';
import { bedAsItStands } from '../issued/operations.ts';
import type { GuardOptions, WorkPiece } from '../model.ts';
import { meets, type Scene, sceneOf } from '../scene/scene.ts';
import { layeredSurface } from '../simulation/layered-surface.ts';

/** Where a job is taken to lie, and what that takes for granted. */
export interface JobSetting {
  readonly scene: Scene;
  /** The record that feeds are judged by: nobody knows what a sheet is made of. */
  readonly feedRecord: MachineRecord;
  /** Height of the job's Z 0 above the bed, mm. */
  readonly zeroHeight: number;
  /** What the verdict rests on, one sentence each, in the machine's units. */
  readonly assumptions: readonly string[];
}

/** A material that no cutter of the list has a chip load for. */
const UNKNOWN_MATERIAL = 'not known';

/**
 * The bed as the ledger has it, with the sheet of the job on its board.
 *
 * @throws RangeError when the job has its Z 0 on a sheet of which nobody gave the thickness
 */
export function settingOf(record: MachineRecord, options: GuardOptions): JobSetting {
  const { machine, state } = record;
  const bare = sceneOf(record, bedAsItStands(record));
  const work = options.work ?? null;
  if (options.zero === 'work' && work === null) {
    throw new RangeError('zero `work` needs the thickness of the sheet');
  }
  const boardTop = state.board?.thickness ?? 0;
  const onBoard =
    options.zero === 'board-top' || (options.zero === 'profile' && machine.zZero === 'board-top');
  const zeroHeight = options.zero === 'work' ? boardTop + work!.thickness : onBoard ? boardTop : 0;
  const feedRecord =
    work === null ? record : { ...record, stock: { ...record.stock, material: UNKNOWN_MATERIAL } };
  return {
    scene: work === null ? bare : withSheet(bare, work),
    feedRecord,
    zeroHeight,
    assumptions: assumptionsOf(record, options, zeroHeight, onBoard),
  };
}

/** The scene with a sheet on the board: in its place, or, where nobody gave one, everywhere. */
function withSheet(scene: Scene, work: WorkPiece): Scene {
  const top = (scene.record.state.board?.thickness ?? 0) + work.thickness;
  const region: Region = work.place
    ? [{ outer: rectangleRing(work.place.at, work.place.size), holes: [] }]
    : [...scene.bed, ...(scene.board ?? [])];
  const layers = [...scene.layers, { region, height: top }];
  const own = bounds(region);
  return {
    ...scene,
    boardTop: Math.max(scene.boardTop, top),
    layers,
    surface: layeredSurface(layers),
    box: boxOfBoth(scene.box, own),
    overBoard: meets(scene.board ? boxOfBoth(own, bounds(scene.board)) : own),
  };
}

function assumptionsOf(
  record: MachineRecord,
  options: GuardOptions,
  zeroHeight: number,
  onBoard: boolean,
): string[] {
  const { machine, state } = record;
  const { units } = machine;
  const work = options.work ?? null;
  const long = (mm: number): string => exactLength(mm, units);
  const zeroAt =
    options.zero === 'work' ? 'the top of the sheet' : onBoard ? 'the top of the board' : 'the bed';
  const list = [
    machine.controller.workOffset === 'none'
      ? 'offset: the controller has one zero, set on the datum of the machine'
      : `offset: work offset ${machine.datum.workOffset}, set on the datum of the machine`,
    `zero: Z 0 is set on ${zeroAt}, ${long(zeroHeight)} above the bed`,
    state.board ? `board: ${long(state.board.thickness)} thick` : 'board: the ledger has none on this bed',
    sheetText(work, units),
    `depth: the job may go ${long(options.allowedDepth)} into the board`,
  ];
  const dates = record.ledger.facts.map((fact) => fact.date).sort();
  list.push(dates.length === 0 ? 'ledger: empty' : `ledger: as of ${dates.at(-1)}`);
  return list;
}

function sheetText(work: WorkPiece | null, units: Units): string {
  if (work === null) return 'sheet: none lies on the board';
  const thick = `sheet: ${exactLength(work.thickness, units)} thick on the board`;
  if (!work.place) return `${thick}, anywhere`;
  const { at, size } = work.place;
  return `${thick}, from ${exactPlace(at, units)}, ${exactLength(size[0], units)} by ${exactLength(size[1], units)}`;
}
