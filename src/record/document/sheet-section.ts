import { sheetGroups, verdictWords } from '../../circuit/sheet-line.js';
import type { Assessment, SheetStanding } from '../../steps/assessment.js';
import { sourceText } from '../../trade/source.js';
import {
  type Block,
  type Cell,
  heading,
  lines,
  muted,
  paragraph,
  type Section,
  strong,
  table,
} from './block.js';

/** What was computed before cutting, line by line, with how it came about and where its limit comes from. */
export function sheetSection(job: Assessment): Section {
  return {
    title: 'Sheet',
    blocks: [
      paragraph('Computed from the circuit before anything was cut.', 'muted'),
      ...sheetGroups.flatMap(({ id, title }): Block[] => {
        const own = job.sheet.filter((s) => s.line.group === id);
        return own.length === 0 ? [] : [heading(title), groupTable(title, own)];
      }),
    ],
  };
}

function groupTable(title: string, own: readonly SheetStanding[]): Block {
  return table(
    title,
    [
      ['Line', 6],
      ['Value', 3],
      ['Limit', 3],
      ['Verdict', 3],
      ['How it comes about, and from where', 10],
    ],
    own.map(sheetRow),
  );
}

function sheetRow({ line, concession }: SheetStanding): Cell[] {
  return [
    line.title,
    lines(strong(line.value)),
    line.limit,
    lines(verdictWords[line.verdict], concession && muted(`conceded by ${concession.by.name}, see page 1`)),
    lines(line.formula, muted(line.sources.map(sourceText).join('; '))),
  ];
}
