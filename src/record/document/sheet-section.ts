import { sheetGroups, verdictWords } from '../../circuit/sheet-line.js';
import type { Assessment, SheetStanding } from '../../steps/assessment.js';
import { sourceText } from '../../trade/source.js';
import {
  type Cell,
  group,
  heading,
  lines,
  list,
  muted,
  paragraph,
  type Section,
  strong,
  table,
} from './block.js';

/** What was computed before cutting, line by line, with how it came about and where its limit comes from. */
export function sheetSection(job: Assessment): Section {
  const sources = [...new Set(job.sheet.flatMap((s) => s.line.sources.map(sourceText)))];
  return {
    title: 'Sheet',
    blocks: [
      paragraph(
        'Computed from the circuit before anything was cut. Numbers in brackets name the sources below.',
        'muted',
      ),
      table(
        'The sheet, line by line',
        [
          ['Line', 5.6],
          ['Value', 5.4],
          ['Limit', 4.8],
          ['Verdict', 3.2],
          ['How it comes about', 10.1],
        ],
        sheetGroups.flatMap(({ id, title }) =>
          group(
            title,
            job.sheet.filter((s) => s.line.group === id).map((s) => sheetRow(s, sources)),
          ),
        ),
      ),
      heading('Sources of the sheet'),
      list(sources, true),
    ],
  };
}

function sheetRow({ line, concession }: SheetStanding, sources: readonly string[]): Cell[] {
  const numbers = line.sources.map((source) => sources.indexOf(sourceText(source)) + 1);
  return [
    line.title,
    lines(strong(line.value)),
    line.limit,
    lines(verdictWords[line.verdict], concession && muted(`conceded by ${concession.by.name}, see page 1`)),
    `${line.formula} [${[...new Set(numbers)].join(', ')}]`,
  ];
}
