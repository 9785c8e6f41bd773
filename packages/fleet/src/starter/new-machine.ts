import { InputError, type Units } from '@bedledger/diagnostics';
import { machineIdFault } from '../model/machine-id.ts';
import { report } from '../report.ts';
import { textFault } from '../written/common.ts';

export interface NewMachine {
  readonly id: string;
  readonly title: string;
  readonly units: Units;
}

/** Lengths of the first profile in both units, so that an inch profile has plain inch numbers. */
const FIGURES = {
  mm: {
    travelX: '[-40, 1260]',
    travelY: '[-40, 2480]',
    travelZ: '[-10, 150]',
    rapid: '15000',
    feedXy: '10000',
    feedZ: '3000',
    accXy: '800',
    accZ: '400',
    corner: '0.05',
    outlineAt: '[-10, -10]',
    outlineSize: '[1240, 2460]',
    thickness: '25',
    cutLimit: '2',
    floor: '5',
    zoneAt: '[50, 50]',
    zoneSize: '[1120, 2340]',
    pitch: '[50, 50]',
    width: '9',
    depth: '8',
    port: '[610, 1220]',
    portD: '50',
    second: '[1200, 0]',
    boardAt: '[-5, -5]',
    boardSize: '[1230, 2450]',
    least: '9',
    pitchMax: '400',
    edge: '[25, 60]',
    nudge: '20',
    clear: '60',
    park: '[600, 2450]',
    depthPerPass: '0.5',
    overrun: '5',
    margin: '0.1',
  },
  in: {
    travelX: '[-1.5, 50]',
    travelY: '[-1.5, 98]',
    travelZ: '[-0.4, 6]',
    rapid: '600',
    feedXy: '400',
    feedZ: '120',
    accXy: '30',
    accZ: '15',
    corner: '0.002',
    outlineAt: '[-0.5, -0.5]',
    outlineSize: '[49, 97]',
    thickness: '1',
    cutLimit: '0.08',
    floor: '0.2',
    zoneAt: '[2, 2]',
    zoneSize: '[44, 92]',
    pitch: '[2, 2]',
    width: '3/8 in',
    depth: '5/16 in',
    port: '[23, 49]',
    portD: '2',
    second: '[46, 0]',
    boardAt: '[-0.25, -0.25]',
    boardSize: '[48.5, 96.5]',
    least: '3/8 in',
    pitchMax: '16',
    edge: '[1, 2.5]',
    nudge: '0.8',
    clear: '2.5',
    park: '[24, 97]',
    depthPerPass: '0.02',
    overrun: '0.2',
    margin: '0.004',
  },
} as const;

/**
 * The files of a new machine, paths relative to the machine's folder: a profile that loads as it is and says at each line
 * what to put in, an empty ledger, and the package that carries its version.
 * @throws InputError for an identifier or title that a profile may not have
 */
export function newMachineFiles(machine: NewMachine): { path: string; text: string }[] {
  const { id, title, units } = machine;
  const wrong = machineIdFault(id);
  if (wrong === 'reserved') {
    const message = `\`${id}\` is the name of a device on Windows, where a machine cannot be called so`;
    throw new InputError([report({ code: 'fleet/reserved-name', message })]);
  }
  if (wrong === 'pattern') {
    const expected = 'expected a small letter, then small letters, digits or `-`, 40 at most';
    const message = `\`${id.replace(/[^ -~]/g, '?')}\` is no identifier, ${expected}`;
    throw new InputError([report({ code: 'call/id', message })]);
  }
  const fault = textFault(title, 120);
  if (fault) throw new InputError([report({ code: 'call/title', message: `the title is ${fault}` })]);
  const f = FIGURES[units];
  const inch = units === 'in';
  const profile = `# yaml-language-server: $schema=../../shared/schemas/machine.schema.json
# First profile of ${id}. Every figure is an example: replace it by what the machine, its drawing and your rule say.
# A number without a unit is ${inch ? 'inches (feeds in inches a minute)' : 'millimetres (feeds in millimetres a minute)'}; \`18 mm\` or \`3/4 in\` may be written anywhere.
id: ${id}
title: ${JSON.stringify(title)}
units: ${units}

# Where the spindle centre can go, measured from the datum mark; Z 0 is the bed surface.
travel: { x: ${f.travelX}, y: ${f.travelY}, z: ${f.travelZ} }
motion:
  rapid: ${f.rapid}
  max_feed: { xy: ${f.feedXy}, z: ${f.feedZ} }
  acceleration: { xy: ${f.accXy}, z: ${f.accZ} }
  corner: { tolerance: ${f.corner} } # or { mode: exact-stop }
spindle: { power_kw: 3, rpm: [6000, 18000], spin_up_s: 5 }

# What the controller can read. Only the dialect must be said: rs274ngc, iso6983, rs274d or linear.
controller:
  dialect: rs274ngc

bed:
  outline: { at: ${f.outlineAt}, size: ${f.outlineSize} }
  material: phenolic laminate
  thickness: ${f.thickness}
  cut_limit: ${f.cutLimit} # deepest any program may go below the bed surface
  floor: ${f.floor} # least bed left under a hand-drilled hole
  zones:
    - id: A
      rect: { at: ${f.zoneAt}, size: ${f.zoneSize} }
      grooves: { pitch: ${f.pitch}, width: ${f.width}, depth: ${f.depth} }
      ports: [{ at: ${f.port}, diameter: ${f.portD} }]

# The two marks on the bed that define X0 Y0 and direction.
datum: { mark: [0, 0], second: ${f.second}, made: by-hand }
board: { stock: mdf-18, at: ${f.boardAt}, size: ${f.boardSize}, least_thickness: ${f.least} }
fixing:
  use: ${inch ? 'quarter-hex-nylon' : 'm6-hex-nylon'} # from shared/fixings.yaml
  layout: { pattern: aligned, pitch_max: ${f.pitchMax}, edge: ${f.edge}, nudge_max: ${f.nudge} }
cutters: { drill: ${inch ? 'upcut-quarter' : 'upcut-6'}, pocket: ${inch ? 'upcut-quarter' : 'upcut-6'}, surface: ${inch ? 'flattener-two-half' : 'flattener-63'} } # from shared/cutters.yaml
clear_height: ${f.clear} # nothing on the bed stands higher
park: ${f.park}
# A skim starts from the height map; \`skim: { from: depth, depth: ${f.margin} }\` takes off that much instead,
# \`skim: { plane: best }\` follows a lean of the board within the house's limit.
surfacing: { rows: x, stepover: 0.6, depth_per_pass: ${f.depthPerPass}, overrun: ${f.overrun}, margin: ${f.margin} }
vacuum: { altitude: ${inch ? '0 ft' : '0 m'}, gauge: 20 inHg }
`;
  const ledger = `# yaml-language-server: $schema=../../shared/schemas/ledger.schema.json
# What physically happened to ${id}, oldest first. Append only; \`bedledger record ${id} …\` writes here.
units: ${units}
facts: []
`;
  const manifest = {
    name: `@bedledger-fleet/${id}`,
    version: '0.1.0',
    private: true,
    type: 'module',
    scripts: { check: `bedledger check ${id}` },
    devDependencies: { '@bedledger/cli': 'workspace:*' },
  };
  return [
    { path: 'machine.yaml', text: profile },
    { path: 'ledger.yaml', text: ledger },
    { path: 'package.json', text: `${JSON.stringify(manifest, null, 2)}\n` },
  ];
}
