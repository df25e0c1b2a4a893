import type { Source } from '../trade/source.js';

/** The groups of the sheet with their titles, in the order they are read. */
export const sheetGroups = [
  { id: 'ladder', title: 'Ladder of ratings' },
  { id: 'cable', title: 'Cable in the hottest place' },
  { id: 'cord', title: 'The cord' },
  { id: 'drop', title: 'Voltage drop' },
  { id: 'loads', title: 'Loads' },
  { id: 'boxes', title: 'Boxes' },
  { id: 'entry', title: 'Entry, supports and bends' },
  { id: 'fault', title: 'Fault current' },
  { id: 'gfci', title: 'Ground-fault device' },
  { id: 'method', title: 'Cable and terminals' },
  { id: 'inlet', title: 'Place of the inlet' },
  { id: 'bond', title: 'Bond' },
  { id: 'sources', title: 'Other sources' },
] as const;

export type SheetGroup = (typeof sheetGroups)[number]['id'];
export type SheetVerdict = 'pass' | 'fail' | 'unproven' | 'note';

/** One thing computed before cutting. A `fail` or an `unproven` holds the cutting; a `note` is said and not judged. */
export interface SheetLine {
  /** Permanent; names an outlet by its identity, never by its number. */
  readonly id: string;
  readonly group: SheetGroup;
  readonly title: string;
  readonly value: string;
  readonly limit: string;
  readonly verdict: SheetVerdict;
  /** How the value came about, in words with the figures in. */
  readonly formula: string;
  readonly sources: readonly Source[];
  /** Who may let it stand where it misses its limit. */
  readonly concession: 'named-person' | 'never';
  /** What to change where it misses its limit. */
  readonly mend: string;
  readonly outlet?: string;
  readonly figures?: Readonly<Record<string, number>>;
}

/** The limit of a line that is said for its own sake. */
export const notJudged = 'noted, not judged';

/** What a line says of its own, where its group and who may concede it are settled for many. */
export type OwnWords = Omit<SheetLine, 'id' | 'group' | 'title' | 'concession'> &
  Partial<Pick<SheetLine, 'concession'>>;

/**
 * Makes lines of one group: `(id, title, rest)`. Their ids begin with `prefix` (the group's own where none is named), and
 * `concession` holds for those that do not name another.
 */
export function linesIn(
  group: SheetGroup,
  concession: SheetLine['concession'] = 'named-person',
  prefix: string = group,
): (id: string, title: string, rest: OwnWords) => SheetLine {
  return (id, title, rest) => ({ id: `${prefix}.${id}`, group, title, concession, ...rest });
}

/** Words for a verdict, the same on the page, on the command line and in the record. */
export const verdictWords: Readonly<Record<SheetVerdict, string>> = {
  pass: 'meets its limit',
  fail: 'misses its limit',
  unproven: 'unproven',
  note: 'note',
};

/** Whether a value is within its limit, a hair of rounding allowed. */
export function withinMost(value: number, limit: number): boolean {
  return value <= limit * (1 + 1e-9) + 1e-12;
}

/** Pass, fail, or unproven where it could not be told. */
export function verdictOf(met: boolean | undefined): SheetVerdict {
  return met === undefined ? 'unproven' : met ? 'pass' : 'fail';
}

/** Whether this line keeps the cutting from beginning. */
export function holdsCutting(line: SheetLine): boolean {
  return line.verdict === 'fail' || line.verdict === 'unproven';
}
