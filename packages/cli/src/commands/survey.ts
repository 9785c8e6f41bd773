import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { planLayout, surveyReport } from '@bedledger/bedwork';
import { fineNumber } from '@bedledger/diagnostics';
import { surveyDrawing } from '@bedledger/drawings';
import { textOption } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
import { loadMachine } from '../load-machines.ts';
import { textTable } from '../text-table.ts';

export const survey: Command = {
  name: 'survey',
  usage: 'survey <machine>',
  summary: 'fit the measured points; residual per point; which point to measure again',
  options: [
    { name: 'drawing', value: 'text', placeholder: 'FILE.svg', help: 'draw the residuals on the bed' },
  ],
  examples: ['bedledger survey heron', 'bedledger survey heron --drawing residuals.svg'],
  positional: [1, 1],
  needsFleet: true,
  run: async ({ args, output, root, cwd }) => {
    const { record, findings } = loadMachine(root, args.positional[0] as string);
    const report = surveyReport(record);
    output.diagnostics([...findings.filter((f) => f.severity === 'stop'), ...report.findings]);
    // What was found is told above, with its place.
    const told = new Set(report.findings.map((d) => (d.help ? `${d.message}; ${d.help}` : d.message)));
    for (const line of report.lines) if (!told.has(line)) output.line(line);
    const { units } = record.machine;
    const fine = (mm: number): string => fineNumber(mm, units);
    if (report.marks.length > 0) {
      const cell = (v: number | undefined | null): string => (v === undefined || v === null ? '–' : fine(v));
      output.line();
      for (const line of textTable(
        [
          'feature',
          `drawn X ${units}`,
          'drawn Y',
          'found X',
          'found Y',
          'residual X',
          'residual Y',
          'length',
          '',
        ],
        report.marks.map((m) => [
          m.id,
          fine(m.nominal[0]),
          fine(m.nominal[1]),
          cell(m.measured?.[0]),
          cell(m.measured?.[1]),
          cell(m.residual?.dx),
          cell(m.residual?.dy),
          cell(m.residual?.length),
          m.suspect ? 'measure again' : m.measured === null ? 'not measured' : '',
        ]),
        [1, 2, 3, 4, 5, 6, 7],
      ))
        output.line(line);
    }
    const target = textOption(args, 'drawing');
    const registration = target === undefined ? null : planLayout(record).registration;
    if (target !== undefined) {
      if (registration === null) output.say('there is no fit to draw');
      else {
        writeFileSync(resolve(cwd, target), surveyDrawing(record, registration));
        output.line(`\ndrawn: ${target}`);
      }
    }
    const { leftover, ...plain } = report;
    output.object({
      command: 'survey',
      report: {
        ...plain,
        leftover:
          leftover === null
            ? null
            : {
                kind: leftover.kind,
                helps: leftover.helps,
                leaveOneOutRms: leftover.leaveOneOutRms,
                planeRms: leftover.planeRms,
              },
      },
    });
    return report.verdict === 'refused' || report.findings.some((f) => f.severity === 'stop')
      ? EXIT.findings
      : EXIT.fine;
  },
};
