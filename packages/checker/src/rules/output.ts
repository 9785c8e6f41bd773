import type { RuleTable } from '@bedledger/diagnostics';

/** What a program switches on and off besides the spindle. */
export const OUTPUT_RULES = {
  'output/undeclared': {
    severity: 'stop',
    also: [{ severity: 'note', when: 'a job from elsewhere switches it off' }],
    title: 'a code switches an output that the profile does not declare',
    why: 'What hangs on such an output differs from machine to machine: a pump, a brake, a clamp, a door. Nobody can say what the code does here.',
    remedy: 'declare the output in controller.auxiliary, or take the code out',
  },
  'output/coolant': {
    severity: 'stop',
    title: 'a code switches mist or coolant on',
    why: 'M7 is mist and M8 is flood coolant where nothing else is declared. Board swells where it gets wet, loses its flatness for good, and the vacuum draws the liquid into the pump.',
    remedy: 'take the code out, or declare in controller.auxiliary what it switches on this machine',
  },
  'output/vacuum-dropped': {
    severity: 'stop',
    title: 'the vacuum is switched off before the last cut is done',
    why: 'The vacuum holds the work and the board down. Without it the cutter lifts what it cuts, or throws it.',
    remedy: 'switch the vacuum off after the last retract, or leave it to the operator',
  },
  'output/overrides-locked': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'in a job from elsewhere' }],
    title: 'the overrides of feed and speed are locked',
    why: 'After M49 the operator cannot slow the machine down at the panel: the emergency stop is all that is left.',
    remedy: 'take M49 out',
  },
  'output/overrides-freed': {
    severity: 'stop',
    also: [{ severity: 'note', when: 'in a job from elsewhere' }],
    title: 'the overrides of feed and speed are unlocked by the program',
    why: 'M48 gives feed and speed to the panel: whatever the knobs stand at counts from there on, and what was checked is not what runs. Issued programs leave the overrides as the operator has them.',
    remedy: 'look at the knobs before pressing start, or take M48 out',
  },
} satisfies RuleTable;
