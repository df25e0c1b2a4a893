import type { JobLine } from '../steps/job-line.js';
import { prepared, type Sql } from './database.js';

/** What the list may be narrowed to. A job may be several of these at once: open, held, and with a record issued. */
export const jobStates = {
  open: "standing = 'open'",
  held: 'held = 1',
  issued: 'issued = 1',
  'in-question': 'in_question = 1',
  'set-aside': "standing = 'set aside'",
  closed: "standing = 'closed'",
} as const;
export type JobState = keyof typeof jobStates;

export interface JobSearch {
  /** As typed: every word of it must stand in the job's number, plate, VIN, van, owner or place, whole or in part. */
  readonly words: string;
  readonly state?: JobState | undefined;
  /** The last job of the page before: the list goes on behind it. */
  readonly before?: { readonly at: string; readonly job: string } | undefined;
  readonly limit: number;
}

/** Words as they are compared: no accents, small letters, nothing but single blanks between. */
export function foldWords(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[\s\p{C}]+/gu, ' ')
    .trim();
}

/** All that a search looks through for one job; a plate is found with its dashes and without. */
export function searchWords(number: string, { plate, vin, vehicle, owner, place }: JobLine): string {
  const bare = plate.replace(/[^\p{L}\p{N}]/gu, '');
  return foldWords(
    [number, vehicle, plate, bare, vin, owner, place].filter((part) => part !== '').join(' | '),
  );
}

/** Up to so many jobs are sorted by themselves; where more match, the list's own order is walked, and soon full. */
const fewEnough = 1000;

/** The part of the query from FROM on, with what it is filled with. */
export function conditionOf(
  db: Sql,
  { words, state, before }: JobSearch,
): { readonly sql: string; readonly values: Record<string, unknown> } {
  const typed = [...new Set(foldWords(words).split(' '))].filter((word) => word !== '');
  const ids = idsOf(db, typed);
  const conditions = [
    ...(before === undefined ? [] : ['(at, job) < (@at, @job)']),
    ...(state === undefined ? [] : [jobStates[state]]),
    ...typed.map((_, k) => `instr(words, @word${k}) > 0`),
  ];
  const from =
    ids === undefined
      ? 'FROM job_lines'
      : 'FROM json_each(@ids) CROSS JOIN job_lines ON job_lines.id = json_each.value';
  return {
    sql: conditions.length === 0 ? from : `${from} WHERE ${conditions.join(' AND ')}`,
    values: {
      ...before,
      ...(ids === undefined ? {} : { ids: JSON.stringify(ids) }),
      ...Object.fromEntries(typed.map((word, k) => [`word${k}`, word])),
    },
  };
}

/** The jobs that hold every word of three letters or more, where these are few; undefined where they are many or unknown. */
function idsOf(db: Sql, words: readonly string[]): number[] | undefined {
  const long = words.filter((word) => [...word].length >= 3);
  if (long.length === 0) return undefined;
  const match = long.map((word) => `"${word.replaceAll('"', '""')}"`).join(' AND ');
  const found = prepared(db, 'SELECT rowid AS id FROM job_words WHERE job_words MATCH ? LIMIT ?').all(
    match,
    fewEnough + 1,
  ) as { id: number }[];
  return found.length > fewEnough ? undefined : found.map(({ id }) => id);
}
