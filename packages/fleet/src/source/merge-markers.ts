import type { Diagnostic } from '@bedledger/diagnostics';
import { report } from '../report.ts';

/** What git writes round two versions of one place (git-merge(1), "How conflicts are presented"). */
const BEGIN = /^<{7}(?: |$)/;
const END = /^>{7}(?: |$)/;

/** The first unfinished merge of a file, as a finding; null when there is none. The file is not to be read then. */
export function mergeMarkers(file: string, text: string): Diagnostic | null {
  // Most files hold neither: they need no lines.
  if (!text.includes('<<<<<<<') && !text.includes('>>>>>>>')) return null;
  const lines = text.split(/\r?\n/);
  const first = lines.findIndex((line) => BEGIN.test(line) || END.test(line));
  if (first < 0) return null;
  const end = lines.findIndex((line, i) => i > first && END.test(line));
  const where = end < 0 ? `line ${first + 1}` : `lines ${first + 1} to ${end + 1}`;
  return report({
    code: 'file/merge-markers',
    message: `${where}: an unfinished merge, with both versions of the place`,
    place: { file, line: first + 1, column: 1, endColumn: lines[first]!.length + 1 },
    excerpt: lines[first]!,
  });
}
