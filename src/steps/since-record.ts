import { changedParts } from '../circuit/changed-parts.js';
import type { Entry, EntryBody, EntryKind } from '../logbook/entry.js';
import { circuitAt, type JobLog } from '../logbook/job-log.js';
import { standingRecord } from '../logbook/standing-record.js';
import { kindRules } from './entry-kinds.js';
import { type Plan, planOf } from './plan-of.js';
import { subjectWords } from './subject-words.js';

/** One thing that came after a record, in words for whoever holds it. */
export interface Since {
  readonly seq: number;
  /** UTC, ISO 8601. */
  readonly at: string;
  readonly by: string;
  readonly text: string;
  /** It puts the record in question: the paper says something that no longer holds, or was found wrong. */
  readonly grave: boolean;
}

/**
 * What puts the record in force in question: everything grave that was written after it, and that a later revision, which had taken its
 * place, was withdrawn. Empty where none is in force.
 */
export function inQuestion(log: JobLog): Since[] {
  const record = standingRecord(log);
  if (record === undefined) return [];
  const later = (seq: number) => {
    const entry = log.entries[seq - 1];
    return entry?.kind === 'record withdrawn' && entry.body.revision > record.body.revision;
  };
  return sinceEntry(log, record.seq).filter(({ seq, grave }) => grave || later(seq));
}

/** What was written on the work after one entry, up to another, oldest first; what was done or read again is one line each. */
export function sinceEntry(log: JobLog, after: number, upTo = log.entries.length): Since[] {
  const later = log.entries.slice(after, upTo);
  const lines = later.flatMap((entry) => {
    const text = textOf(log, entry);
    return text === undefined ? [] : [lineOf(entry, text)];
  });
  return [
    ...lines,
    ...together(log, later, 'step done', (n) => `${n === 1 ? 'A step was' : `${n} steps were`} done`),
    ...together(
      log,
      later,
      'reading taken',
      (n) => `${n === 1 ? 'A reading was' : `${n} readings were`} taken`,
    ),
  ];
}

const lineOf = ({ seq, at, by, kind }: Entry, text: string): Since => ({
  seq,
  at,
  by: by.name,
  text,
  grave: kindRules[kind].changes === 'proof',
});

function planAt(log: JobLog, seq: number): Plan | undefined {
  const circuit = circuitAt(log, seq);
  return circuit && planOf(circuit);
}

function textOf(log: JobLog, entry: Entry): string | undefined {
  const about = subjectWords(entry.subject, planAt(log, entry.seq));
  switch (entry.kind) {
    case 'circuit set': {
      const before = circuitAt(log, entry.seq - 1);
      const parts = before === undefined ? [] : changedParts(before, entry.body.circuit);
      const what = parts.map((c) => `${c.label}: ${c.from} → ${c.to}`).join('; ');
      const why = entry.body.reason ? ` Because: ${entry.body.reason}` : '';
      return `The circuit was changed${what === '' ? '' : ` (${what})`}.${why}`;
    }
    case 'step reopened':
      return `${about} was opened again: ${entry.body.reason}`;
    case 'reading struck':
      return `${about}: the reading of entry ${entry.body.reading} was struck: ${entry.body.reason}`;
    case 'defect raised':
      return entry.body.what.startsWith(`${about}: `) ? entry.body.what : `${about}: ${entry.body.what}`;
    case 'defect reworked':
      return `${about}, mended. Found: ${entry.body.found} Done: ${entry.body.done}`;
    case 'concession granted':
      return `${about}, conceded: ${entry.body.reason}`;
    case 'instrument questioned': {
      const { instrument, from, reason, entries } = entry.body;
      return `${instrument.name}, serial ${instrument.serial}, was found not to tell the truth from ${from} on: ${reason} What it gave proves nothing until it is taken again: ${namesOf(log, entries)}.`;
    }
    case 'record withdrawn':
      return `Revision ${entry.body.revision} was withdrawn: ${entry.body.reason}`;
    case 'job described':
      return describedText(log, entry.seq, entry.body);
    // Told together, or nothing of the work.
    case 'step done':
    case 'reading taken':
    case 'photo added':
    case 'second look signed':
    case 'record issued':
    case 'owner acknowledged':
    case 'job set aside':
    case 'job taken up':
    case 'job closed':
      return undefined;
  }
}

const mostNames = 6;

function namesOf(log: JobLog, seqs: readonly number[]): string {
  const subjects = seqs.map((seq) => subjectWords(log.entries[seq - 1]?.subject ?? '', planAt(log, seq)));
  const names = [...new Set(subjects)];
  const more = names.length - mostNames;
  return `${names.slice(0, mostNames).join('; ')}${more > 0 ? `; and ${more} more` : ''}`;
}

type Described = EntryBody<'job described'>;

function describedText(log: JobLog, seq: number, now: Described): string | undefined {
  const before = log.entries.slice(0, seq - 1).findLast((e) => e.kind === 'job described');
  if (before?.kind !== 'job described') return undefined;
  const fields = (d: Described): [string, string][] => [
    ['owner', d.owner],
    ['van', d.vehicle.description],
    ['plate', d.vehicle.plate],
    ['VIN', d.vehicle.vin],
    ['place', d.place],
    ['fitter', d.fitter],
    ['checker', d.checker],
  ];
  const was = new Map(fields(before.body));
  const changed = fields(now).filter(([name, value]) => was.get(name) !== value);
  if (changed.length === 0) return undefined;
  return `The description was changed: ${changed.map(([name, value]) => `${name}: ${was.get(name) || 'none'} → ${value || 'none'}`).join('; ')}`;
}

/** Steps done or readings taken, named once each. */
function together(
  log: JobLog,
  later: readonly Entry[],
  kind: EntryKind,
  said: (n: number) => string,
): Since[] {
  const own = later.filter((e) => e.kind === kind);
  const last = own.at(-1);
  const names = [...new Set(own.map((e) => subjectWords(e.subject, planAt(log, e.seq))))];
  return last === undefined ? [] : [lineOf(last, `${said(names.length)}: ${names.join('; ')}`)];
}
