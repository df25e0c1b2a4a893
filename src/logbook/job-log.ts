import type { Circuit } from '../circuit/circuit.js';
import type { Entry, EntryBody, EntryKind, EntryOf } from './entry.js';

/** A job's logbook sorted by kind, oldest first; what the entries say, before any rule is asked what they mean. */
export interface JobLog {
  readonly entries: readonly Entry[];
  readonly described: EntryBody<'job described'> | undefined;
  /** Every circuit that was set, with the number of the entry that set it. The last is the one in force. */
  readonly circuits: readonly EntryOf<'circuit set'>[];
  readonly circuit: Circuit | undefined;
  readonly steps: ReadonlyMap<string, readonly (EntryOf<'step done'> | EntryOf<'step reopened'>)[]>;
  /** Readings that stand (struck ones left out), by test point. */
  readonly readings: ReadonlyMap<string, readonly EntryOf<'reading taken'>[]>;
  readonly struck: ReadonlyMap<number, EntryOf<'reading struck'>>;
  readonly photos: readonly EntryOf<'photo added'>[];
  readonly defects: readonly EntryOf<'defect raised'>[];
  readonly reworks: readonly EntryOf<'defect reworked'>[];
  readonly concessions: readonly EntryOf<'concession granted'>[];
  readonly secondLooks: readonly EntryOf<'second look signed'>[];
  readonly issued: readonly EntryOf<'record issued'>[];
  /** By the number of the entry that it gave: the newest finding about the instrument. */
  readonly questioned: ReadonlyMap<number, EntryOf<'instrument questioned'>>;
  readonly withdrawn: ReadonlyMap<number, EntryOf<'record withdrawn'>>;
  readonly acknowledged: readonly EntryOf<'owner acknowledged'>[];
  readonly standing: 'open' | 'set aside' | 'closed';
}

/** Sorts a chain of entries into a JobLog. Entries come in their order; none is judged here. */
export function foldJob(entries: readonly Entry[]): JobLog {
  return growJob(nothing, entries);
}

/**
 * The log with more entries at its end: what folding all of them would give, without going through those before. Whatever the new
 * ones say nothing of is the very same list as before.
 */
export function growJob(log: JobLog, more: readonly Entry[]): JobLog {
  const of = <K extends EntryKind>(kind: K) => more.filter((e) => e.kind === kind) as unknown as EntryOf<K>[];
  const entries = behind(log.entries, more);
  const strikes = of('reading struck');
  const struck = withMore(
    log.struck,
    strikes.map((e) => [e.body.reading, e]),
  );
  const circuits = behind(log.circuits, of('circuit set'));
  const steps = more.filter((e) => e.kind === 'step done' || e.kind === 'step reopened');
  const standing = more.findLast(
    (e) => e.kind === 'job closed' || e.kind === 'job set aside' || e.kind === 'job taken up',
  );
  return {
    entries,
    described: of('job described').at(-1)?.body ?? log.described,
    circuits,
    circuit: circuits.at(-1)?.body.circuit,
    steps: bySubject(log.steps, steps),
    readings:
      strikes.length === 0
        ? bySubject(log.readings, standingReadings(more, struck))
        : bySubject(new Map(), standingReadings(entries, struck)),
    struck,
    photos: behind(log.photos, of('photo added')),
    defects: behind(log.defects, of('defect raised')),
    reworks: behind(log.reworks, of('defect reworked')),
    concessions: behind(log.concessions, of('concession granted')),
    secondLooks: behind(log.secondLooks, of('second look signed')),
    issued: behind(log.issued, of('record issued')),
    questioned: withMore(
      log.questioned,
      of('instrument questioned').flatMap((e) => e.body.entries.map((seq) => [seq, e])),
    ),
    withdrawn: withMore(
      log.withdrawn,
      of('record withdrawn').map((e) => [e.body.revision, e]),
    ),
    acknowledged: behind(log.acknowledged, of('owner acknowledged')),
    standing: standing === undefined ? log.standing : standings[standing.kind],
  };
}

/** The log of a job before its first entry. */
const nothing: JobLog = {
  entries: [],
  described: undefined,
  circuits: [],
  circuit: undefined,
  steps: new Map(),
  readings: new Map(),
  struck: new Map(),
  photos: [],
  defects: [],
  reworks: [],
  concessions: [],
  secondLooks: [],
  issued: [],
  questioned: new Map(),
  withdrawn: new Map(),
  acknowledged: [],
  standing: 'open',
};

const standings = {
  'job closed': 'closed',
  'job set aside': 'set aside',
  'job taken up': 'open',
} as const;

/** The circuit in force when the entry with this number was written. */
export function circuitAt(log: Pick<JobLog, 'circuits'>, seq: number): Circuit | undefined {
  return log.circuits.findLast((e) => e.seq <= seq)?.body.circuit;
}

function behind<T>(before: readonly T[], more: readonly T[]): readonly T[] {
  return more.length === 0 ? before : [...before, ...more];
}

function withMore<K, V>(before: ReadonlyMap<K, V>, more: readonly (readonly [K, V])[]): ReadonlyMap<K, V> {
  return more.length === 0 ? before : new Map([...before, ...more]);
}

function bySubject<E extends Entry>(
  before: ReadonlyMap<string, readonly E[]>,
  more: readonly E[],
): ReadonlyMap<string, readonly E[]> {
  if (more.length === 0) return before;
  const sorted = new Map<string, readonly E[]>(before);
  const own = new Map<string, E[]>();
  for (const entry of more) {
    const same = own.get(entry.subject);
    if (same !== undefined) same.push(entry);
    else own.set(entry.subject, [...(before.get(entry.subject) ?? []), entry]);
  }
  for (const [subject, entries] of own) sorted.set(subject, entries);
  return sorted;
}

function standingReadings(
  entries: readonly Entry[],
  struck: ReadonlyMap<number, unknown>,
): EntryOf<'reading taken'>[] {
  return entries.filter(
    (e): e is EntryOf<'reading taken'> => e.kind === 'reading taken' && !struck.has(e.seq),
  );
}
