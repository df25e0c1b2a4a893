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
  const parts = [number, vehicle, plate, bare, vin, owner, place].filter((part) => part !== '');
  // Closed by two more signs, so that the last two letters begin a trigram too.
  return `${foldWords(parts.join(' | '))} |`;
}

/** Raised where a row says or is found by something else, though the rules are the same: rows of another version are computed anew. */
export const listVersion = 2;

/** A row of the list as it is kept. */
export interface LineRow {
  readonly job: string;
  readonly at: string;
  readonly logic: string;
  readonly line: string;
}

/** Up to so many jobs are sorted by themselves; where more match, so many of the list are walked first in its own order. */
const fewEnough = 1000;
/** A word of one or two letters is looked for through the trigrams that begin with it, where they are not too many. */
const fewEnoughTerms = 400;

const columns = 'job_lines.job, job_lines.at, job_lines.logic, job_lines.line';
const inOrder = 'ORDER BY job_lines.at DESC, job_lines.job DESC LIMIT @limit';

/**
 * The rows that a search finds, newest first, at most `limit`. Whatever is typed, what is read grows with the jobs that match and
 * not with all that there are; but for single letters, which nearly every job has.
 */
export function foundRows(db: Sql, { words, state, before, limit }: JobSearch): LineRow[] {
  const typed = [...new Set(foldWords(words).split(' '))].filter((word) => word !== '');
  const narrow = [
    ...(before === undefined ? [] : ['(job_lines.at, job_lines.job) < (@at, @job)']),
    ...(state === undefined ? [] : [jobStates[state]]),
  ];
  const holding = typed.map((_, k) => `instr(job_lines.words, @word${k}) > 0`);
  const values = { ...before, ...Object.fromEntries(typed.map((word, k) => [`word${k}`, word])), limit };
  const ask = (sql: string, more = {}) => db.prepare(sql).all({ ...values, ...more }) as LineRow[];
  const all = `SELECT ${columns} FROM job_lines ${where([...narrow, ...holding])} ${inOrder}`;
  if (typed.length === 0) return ask(all);

  const long = typed.filter((word) => [...word].length >= 3).map(quoted);
  const ids = long.length === 0 ? undefined : idsOf(db, long.join(' AND '));
  if (ids !== undefined)
    return ask(
      `SELECT ${columns} FROM json_each(@ids) CROSS JOIN job_lines ON job_lines.id = json_each.value
       ${where([...narrow, ...holding])} ${inOrder}`,
      { ids: JSON.stringify(ids) },
    );
  const short = typed.filter((word) => [...word].length < 3);
  if (short.some((word) => standsNowhere(db, word))) return [];
  const near = ask(
    `SELECT ${columns} FROM (SELECT * FROM job_lines ${where(narrow)} ORDER BY at DESC, job DESC LIMIT ${fewEnough}) AS job_lines
     ${where(holding)} ${inOrder}`,
  );
  if (near.length >= limit) return near;
  // A narrowed list that ends within the walk was all looked at.
  const beyond = `SELECT 1 FROM job_lines ${where(narrow)} ORDER BY at DESC, job DESC LIMIT 1 OFFSET ${fewEnough}`;
  if (narrow.length > 0 && ask(beyond).length === 0) return near;
  // Few among the newest: what holds the words is found by itself, and sorted.
  const terms = short.map((word) => termsOf(db, word)).filter((found) => found !== undefined);
  const match = [...long, ...terms.map((found) => `(${found.join(' OR ')})`)];
  if (match.length === 0) return ask(all);
  // Sorted by their ids alone: whole rows would be carried along, for the few that are shown.
  return ask(
    `SELECT ${columns} FROM (
       SELECT job_lines.id AS found FROM job_words CROSS JOIN job_lines ON job_lines.id = job_words.rowid
       ${where(['job_words MATCH @match', ...narrow, ...holding])} ${inOrder})
     CROSS JOIN job_lines ON job_lines.id = found ${inOrder}`,
    { match: match.join(' AND ') },
  );
}

const where = (conditions: readonly string[]) =>
  conditions.length === 0 ? '' : `WHERE ${conditions.join(' AND ')}`;

const quoted = (word: string) => `"${word.replaceAll('"', '""')}"`;

/** The jobs that match, where these are few, newest first, so that a sort lets the others go at once; undefined where they are many. */
function idsOf(db: Sql, match: string): number[] | undefined {
  const { ids } = prepared(
    db,
    'SELECT json_group_array(id) AS ids FROM (SELECT rowid AS id FROM job_words WHERE job_words MATCH ? LIMIT ?)',
  ).get(match, fewEnough + 1) as { ids: string };
  const found = JSON.parse(ids) as number[];
  return found.length > fewEnough ? undefined : found.reverse();
}

/** Words that stand in the trigrams as they are typed. */
const plain = /^[\x21-\x7e]+$/;
/** Behind every trigram that begins with a word. */
const endOf = (word: string) => `${word}\u{10ffff}`;

/** Whether no job holds a short word: no trigram begins with it. */
function standsNowhere(db: Sql, word: string): boolean {
  if (!plain.test(word)) return false;
  // By each place where a term stands, of which one is enough: by terms all the places of the first would be counted.
  db.exec('CREATE VIRTUAL TABLE IF NOT EXISTS temp.job_places USING fts5vocab(main, job_words, instance)');
  const place = prepared(db, 'SELECT 1 FROM job_places WHERE term >= ? AND term < ? LIMIT 1');
  return place.get(word, endOf(word)) === undefined;
}

/** The trigrams that begin with a short word, quoted; undefined where they are too many, or written otherwise than the word is. */
function termsOf(db: Sql, word: string): string[] | undefined {
  if (!plain.test(word)) return undefined;
  db.exec('CREATE VIRTUAL TABLE IF NOT EXISTS temp.job_terms USING fts5vocab(main, job_words, row)');
  const terms = prepared(db, 'SELECT term FROM job_terms WHERE term >= ? AND term < ? LIMIT ?').all(
    word,
    endOf(word),
    fewEnoughTerms + 1,
  ) as { term: string }[];
  return terms.length > fewEnoughTerms ? undefined : terms.map(({ term }) => quoted(term));
}
