import type { Controller } from '@bedledger/fleet';

/** The units word, or none where the controller is set to its unit by hand. */
export function unitsWord(controller: Controller): readonly string[] {
  switch (controller.unitsWord) {
    case 'G20/G21':
      return [controller.units === 'mm' ? 'G21' : 'G20'];
    case 'G70/G71':
      return [controller.units === 'mm' ? 'G71' : 'G70'];
    default:
      return [];
  }
}

/** G54…G59, G59.1…G59.3 for work offsets 1…9. */
export function workOffsetWord(controller: Controller, workOffset: number): readonly string[] {
  if (controller.workOffset === 'none') return [];
  return [workOffset <= 6 ? `G${53 + workOffset}` : `G59.${workOffset - 6}`];
}

export function planeWord(controller: Controller): readonly string[] {
  return controller.plane === 'G17' ? ['G17'] : [];
}

export function feedModeWord(controller: Controller): readonly string[] {
  return controller.feed.mode === 'G94' ? ['G94'] : [];
}

export function pathModeWord(controller: Controller): readonly string[] {
  const mode = controller.pathMode ?? 'none';
  return mode === 'none' ? [] : [mode];
}

/** G98 only where cycles are used: elsewhere the word means other things. */
export function cycleReturnWord(controller: Controller): readonly string[] {
  return controller.cycles.use !== 'none' && controller.cycles.return === 'G98/G99' ? ['G98'] : [];
}
