import type { EntryOf } from '../logbook/entry.js';
import { circuitAt, type JobLog } from '../logbook/job-log.js';
import { type Plan, planOf } from './plan-of.js';

/** The newest concession for a subject that still stands: the plan it was granted under must agree with today's. */
export function concessionFor(
  log: Pick<JobLog, 'concessions' | 'circuits'>,
  subject: string,
  stillStands: (then: Plan) => boolean,
): EntryOf<'concession granted'> | undefined {
  const granted = log.concessions.findLast((e) => e.subject === subject);
  const then = granted && circuitAt(log, granted.seq);
  return then && stillStands(planOf(then)) ? granted : undefined;
}
