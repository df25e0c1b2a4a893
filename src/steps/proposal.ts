import type { Issue } from '../errors.js';
import type { EntryKind, NewEntry } from '../logbook/entry.js';
import type { JobLog } from '../logbook/job-log.js';
import type { Role } from '../logbook/shop-entry.js';
import type { Assessment } from './assessment.js';
import { mayWrite } from './entry-kinds.js';

/** Who asks for an entry. An owner who comes by a link holds no role. */
export interface Asker {
  readonly id: string;
  readonly name: string;
  readonly roles: readonly Role[];
}

/** What the rules must know besides the logbook. */
export interface AcceptContext {
  readonly by: Asker;
  /** Everyone active in the shop: a concession and a second look ask whether there is another person. */
  readonly people: readonly Asker[];
  /**
   * The entry stands in a logbook that was sealed elsewhere, where the gate of its day let it in. So it is asked whether it fits what
   * stands before it, not whether today's steps would take it: what it still proves is the assessment's to say, as in the folder that
   * it came from.
   */
  readonly sealed?: boolean;
}

/** The proposal with what the rules looked at, handed to the rule of its kind. */
export interface Proposal<E extends NewEntry = NewEntry> extends AcceptContext {
  readonly entry: E;
  readonly log: JobLog;
}
export type WithJob<E extends NewEntry> = Proposal<E> & { readonly job: Assessment };

/** Whoever else may write such an entry: neither the one who asks nor the fitter that the job names. */
export function othersFor({ described }: JobLog, kind: EntryKind, { by, people }: AcceptContext): Asker[] {
  return people.filter((p) => mayWrite(kind, p.roles) && p.name !== described?.fitter && p.id !== by.id);
}

/**
 * Whether someone judges their own work where another could: the fitter that the job names, or whoever did a step of it or mended
 * there, under whatever name. Of a mend older gates did not ask: a sealed logbook is not held to it.
 */
export function judgesOwnWork(log: JobLog, kind: EntryKind, asker: AcceptContext): boolean {
  const { by } = asker;
  const hands: readonly EntryKind[] = asker.sealed ? ['step done'] : ['step done', 'defect reworked'];
  const worked = (id: string) => log.entries.some((e) => hands.includes(e.kind) && e.by.id === id);
  const another = othersFor(log, kind, asker);
  if (by.name === log.described?.fitter) return another.length > 0;
  return worked(by.id) && another.some((p) => !worked(p.id));
}

/** One thing to mend, as a refusal. */
export function refuse(
  field: string,
  message: string,
): { readonly ok: false; readonly issues: readonly Issue[] } {
  return { ok: false, issues: [{ field, message }] };
}
