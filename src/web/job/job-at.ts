import type { FastifyRequest } from 'fastify';
import { AppError, type Result } from '../../errors.js';
import type { Entry, EntryOf, NewEntry } from '../../logbook/entry.js';
import type { JobLog } from '../../logbook/job-log.js';
import { isJobNumber } from '../../logbook/job-number.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import { accept } from '../../steps/accept.js';
import { acceptInTurn } from '../../steps/accept-in-turn.js';
import { assess } from '../../steps/assess.js';
import type { Assessment } from '../../steps/assessment.js';
import { planOf } from '../../steps/plan-of.js';
import type { AcceptContext } from '../../steps/proposal.js';
import { noteDrawn } from '../page/drawn-from.js';
import { inAddress } from '../page/form.js';
import { refuseUnseen } from '../page/meanwhile.js';
import { appendForm, type FormPart } from '../page/page.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { whenText } from '../words/job-words.js';

/** A job as its pages see it: its number, its log, and what the log says; no assessment while it has no circuit. */
export interface JobAt {
  readonly number: string;
  readonly log: JobLog;
  readonly job: Assessment | undefined;
  /** What the shop reads times in. */
  readonly zone: TimeZone;
}

/** A job that has a circuit, and so an assessment. */
export type WorkAt = JobAt & { readonly job: Assessment };

/** The job of an address. Throws `not-found` where there is none. */
export function jobAt({ store }: Services, request: FastifyRequest): JobAt {
  const number = inAddress(request, 'job');
  if (!isJobNumber(number)) throw new AppError('not-found', 'There is no such job.');
  const log = store.logbook.log(number);
  noteDrawn(request, log);
  return { number, log, job: assess(log), zone: store.shop.state().zone };
}

/** The job of an address with its assessment. Throws `out-of-order` where it has no circuit yet. */
export function workAt(services: Services, request: FastifyRequest): WorkAt {
  const at = jobAt(services, request);
  if (at.job === undefined)
    throw new AppError('out-of-order', 'This job has no circuit yet: describe the circuit first.');
  return { ...at, job: at.job };
}

/** Writes what a form asks for, if the rules take it from this person now. */
export function writeEntry(
  request: FastifyRequest,
  services: Services,
  number: string,
  entry: NewEntry,
): Promise<Result<readonly Entry[]>> {
  return writeEntries(request, services, number, [entry]);
}

/** Writes several entries of one form, all or none. Each is judged by the log as it stood before the form. */
export function writeEntries(
  request: FastifyRequest,
  services: Services,
  number: string,
  entries: readonly NewEntry[],
  part?: FormPart,
): Promise<Result<readonly Entry[]>> {
  const context = askerOf(request, services);
  const decide = (log: JobLog): Result<NewEntry[]> => {
    const unseen = refuseUnseen(request, log, entries);
    if (unseen !== undefined) return unseen;
    const decided = entries.map((entry) => accept(log, entry, context));
    const issues = decided.flatMap((d) => (d.ok ? [] : d.issues));
    return issues.length > 0
      ? { ok: false, issues }
      : { ok: true, value: decided.flatMap((d) => (d.ok ? d.value : [])) };
  };
  return appendForm(request, services, number, decide, part);
}

/** Writes several entries of one form, all or none, each judged as if those before it were written already. */
export function writeInTurn(
  request: FastifyRequest,
  services: Services,
  number: string,
  entries: readonly NewEntry[],
): Promise<Result<readonly Entry[]>> {
  const context = askerOf(request, services);
  return appendForm(
    request,
    services,
    number,
    (log, now) => refuseUnseen(request, log, entries) ?? acceptInTurn(log, entries, context, now),
  );
}

/** Who asks, and who else is in the shop: what the rules must know besides the logbook. */
export function askerOf(request: FastifyRequest, { store }: Services): AcceptContext {
  const { id, name, roles } = requirePerson(request);
  const people = store.shop.state().people.filter((p) => p.active);
  return { by: { id, name, roles }, people };
}

/** What is said of a step or a reading that this job has not: who took it out of the circuit, where somebody did. */
export function notCalledFor({ log, zone }: JobAt, of: 'step' | 'reading', id: string): AppError {
  const has = ({ body }: EntryOf<'circuit set'>) => {
    const plan = planOf(body.circuit);
    return (of === 'step' ? plan.steps : plan.readings).some((one) => one.id === id);
  };
  const last = log.circuits.findLastIndex(has);
  const change = log.circuits[last + 1];
  if (last < 0 || change === undefined) return new AppError('not-found', `This circuit has no such ${of}.`);
  const why = change.body.reason ? ` Because: ${change.body.reason}` : '';
  return new AppError(
    'not-found',
    `${change.by.name} changed the circuit on ${whenText(change.at, zone)}: it no longer calls for this ${of}. What was written on it stays in the logbook.${why}`,
  );
}
