import type { Result } from '../errors.js';
import type { NewEntry } from '../logbook/entry.js';
import type { JobLog } from '../logbook/job-log.js';
import { acceptCircuit } from './accept-circuit.js';
import { acceptConcession } from './accept-concession.js';
import { acceptDefect, acceptRework } from './accept-defect.js';
import { acceptQuestioned } from './accept-questioned.js';
import { acceptReading, acceptStrike } from './accept-reading.js';
import { acceptAcknowledgement, acceptIssue, acceptSecondLook, acceptWithdrawal } from './accept-record.js';
import { acceptReopened, acceptStepDone } from './accept-step.js';
import { assess } from './assess.js';
import { kindRules, mayWrite } from './entry-kinds.js';
import { type AcceptContext, refuse, type WithJob } from './proposal.js';

/**
 * Decides whether an entry may be written in this logbook now, by this person; the one gate for pages and imports alike.
 * Answers with the entries to write — the proposed one, and what follows from it, such as the defect that a failed reading
 * raises — or with what must be mended first.
 */
export function accept(log: JobLog, entry: NewEntry, context: AcceptContext): Result<NewEntry[]> {
  const { by: needed, atRest } = kindRules[entry.kind];
  if (needed !== 'anyone' && !mayWrite(entry.kind, context.by.roles))
    return refuse(
      'person',
      `${context.by.name} does not hold the role that this needs: ${needed.join(' or ')}.`,
    );
  if (log.standing !== 'open' && atRest !== true) {
    return refuse('job', `This job is ${log.standing}: take it up again first.`);
  }
  if (entry.kind === 'job described') return { ok: true, value: [entry] };
  if (log.described === undefined)
    return refuse('job', 'Describe the job first: the van, its owner, the place.');
  if (entry.kind === 'circuit set') return acceptCircuit({ ...context, entry, log });
  if (entry.kind === 'job set aside' || entry.kind === 'job closed') return { ok: true, value: [entry] };
  if (entry.kind === 'job taken up') {
    return log.standing === 'open'
      ? refuse('job', 'This job is open already.')
      : { ok: true, value: [entry] };
  }
  const job = assess(log);
  if (job === undefined) return refuse('circuit', 'Set the circuit first: every step follows from it.');
  return acceptWork({ ...context, log, job }, entry);
}

/** What speaks of the work once there is a circuit; the others are settled before. */
type OfTheWork = Exclude<
  NewEntry,
  { kind: 'job described' | 'circuit set' | 'job set aside' | 'job closed' | 'job taken up' }
>;

function acceptWork(rest: Omit<WithJob<NewEntry>, 'entry'>, entry: OfTheWork): Result<NewEntry[]> {
  switch (entry.kind) {
    case 'step done':
      return acceptStepDone({ ...rest, entry });
    case 'step reopened':
      return acceptReopened({ ...rest, entry });
    case 'reading taken':
      return acceptReading({ ...rest, entry });
    case 'reading struck':
      return acceptStrike({ ...rest, entry });
    case 'defect raised':
      return acceptDefect({ ...rest, entry });
    case 'defect reworked':
      return acceptRework({ ...rest, entry });
    case 'concession granted':
      return acceptConcession({ ...rest, entry });
    case 'second look signed':
      return acceptSecondLook({ ...rest, entry });
    case 'record issued':
      return acceptIssue({ ...rest, entry });
    case 'instrument questioned':
      return acceptQuestioned({ ...rest, entry });
    case 'record withdrawn':
      return acceptWithdrawal({ ...rest, entry });
    case 'owner acknowledged':
      return acceptAcknowledgement({ ...rest, entry });
    case 'photo added':
      return { ok: true, value: [entry] };
  }
}
