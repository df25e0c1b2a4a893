import type { Result } from '../errors.js';
import type { Entry, NewEntry } from '../logbook/entry.js';
import { growJob, type JobLog } from '../logbook/job-log.js';
import { accept } from './accept.js';
import { assess } from './assess.js';
import type { AcceptContext } from './proposal.js';

/**
 * Asks the gate for several entries of one form, each as if the ones before it were written already: a slip that is struck
 * and taken again in one go raises its own defect where it fails again. Answers with everything to write, or with what the
 * first refused one says; `at` is the time of the form.
 */
export function acceptInTurn(
  log: JobLog,
  proposals: readonly NewEntry[],
  context: AcceptContext,
  at: string,
): Result<NewEntry[]> {
  const { id, name } = context.by;
  const written: NewEntry[] = [];
  let here = log;
  for (const [n, proposal] of proposals.entries()) {
    const answer = accept(here, proposal, context);
    if (!answer.ok) return answer;
    written.push(...answer.value);
    if (n === proposals.length - 1) break;
    const unsealed = answer.value.map((entry, k) => ({
      ...entry,
      seq: here.entries.length + k + 1,
      job: here.entries[0]?.job ?? '',
      at,
      by: { id, name },
      key: '',
      previous: '',
      digest: '',
    })) as Entry[];
    const grown = growJob(here, unsealed);
    assess(grown, here);
    here = grown;
  }
  return { ok: true, value: written };
}
