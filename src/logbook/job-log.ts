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
  const of = <K extends EntryKind>(kind: K) =>
    entries.filter((e) => e.kind === kind) as unknown as EntryOf<K>[];
  const circuits = of('circuit set');
  const struck = new Map(of('reading struck').map((e) => [e.body.reading, e]));
  const steps = entries.filter((e) => e.kind === 'step done' || e.kind === 'step reopened');
  const standing = entries.findLast(
    (e) => e.kind === 'job closed' || e.kind === 'job set aside' || e.kind === 'job taken up',
  );
  return {
    entries,
    described: of('job described').at(-1)?.body,
    circuits,
    circuit: circuits.at(-1)?.body.circuit,
    steps: bySubject(steps),
    readings: bySubject(of('reading taken').filter((e) => !struck.has(e.seq))),
    struck,
    photos: of('photo added'),
    defects: of('defect raised'),
    reworks: of('defect reworked'),
    concessions: of('concession granted'),
    secondLooks: of('second look signed'),
    issued: of('record issued'),
    questioned: new Map(of('instrument questioned').flatMap((e) => e.body.entries.map((seq) => [seq, e]))),
    withdrawn: new Map(of('record withdrawn').map((e) => [e.body.revision, e])),
    acknowledged: of('owner acknowledged'),
    standing:
      standing?.kind === 'job closed' ? 'closed' : standing?.kind === 'job set aside' ? 'set aside' : 'open',
  };
}

/** The circuit in force when the entry with this number was written. */
export function circuitAt(log: JobLog, seq: number): Circuit | undefined {
  return log.circuits.findLast((e) => e.seq <= seq)?.body.circuit;
}

function bySubject<E extends Entry>(entries: readonly E[]): Map<string, E[]> {
  const sorted = new Map<string, E[]>();
  for (const entry of entries) {
    const same = sorted.get(entry.subject);
    if (same === undefined) sorted.set(entry.subject, [entry]);
    else same.push(entry);
  }
  return sorted;
}
