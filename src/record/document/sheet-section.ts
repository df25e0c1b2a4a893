import { sheetGroups, verdictWords } from '../../circuit/sheet-line.js';
import { unitsFirst } from '../../circuit/units-first.js';
import type { Assessment, SheetStanding } from '../../steps/assessment.js';
import { sourceText } from '../../trade/source.js';
import {
  group,
  heading,
  lines,
  muted,
  paragraph,
  type Section,
  strong,
  table,
  type UnderRow,
} from './block.js';
import type { RecordInput } from './record-input.js';

/** What was computed before cutting, line by line, with how it came about and where its limit comes from. */
export function sheetSection(job: Assessment, { units }: RecordInput): Section {
  const sources = [...new Set(job.sheet.flatMap((s) => s.line.sources.map(sourceText)))];
  return {
    title: 'Sheet',
    blocks: [
      paragraph(
        'Computed from the circuit before anything was cut. Under each line stands how it comes about; numbers in brackets name the sources below. A note is not judged.',
        'muted',
      ),
      table(
        'The sheet, line by line',
        [
          ['Line', 9],
          ['Value', 8.5],
          ['Limit', 8.5],
          ['Verdict', 4],
        ],
        sheetGroups.flatMap(({ id, title }) =>
          group(
            title,
            job.sheet.filter((s) => s.line.group === id).map((s) => sheetRow(s, sources, units)),
          ),
        ),
      ),
      heading('Sources of the sheet'),
      { kind: 'list', numbered: true, columns: 2, items: sources },
    ],
  };
}

function sheetRow(
  { line, concession }: SheetStanding,
  sources: readonly string[],
  units: RecordInput['units'],
): UnderRow {
  const numbers = line.sources.map((source) => sources.indexOf(sourceText(source)) + 1);
  return {
    cells: [
      line.title,
      // What is behind the panel is the person's own words, and stays as they were written.
      lines(strong(line.id === 'inlet.panel' ? line.value : unitsFirst(line.value, units))),
      unitsFirst(line.limit, units),
      lines(verdictWords[line.verdict], concession && muted(`conceded by ${concession.by.name}, see page 1`)),
    ],
    under: `${unitsFirst(line.formula, units)} [${[...new Set(numbers)].join(', ')}]`,
  };
}
