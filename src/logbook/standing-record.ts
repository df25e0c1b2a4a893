import type { EntryOf } from './entry.js';
import type { JobLog } from './job-log.js';

/** The newest record that was issued and not withdrawn; undefined where none stands. */
export function standingRecord({
  issued,
  withdrawn,
}: Pick<JobLog, 'issued' | 'withdrawn'>): EntryOf<'record issued'> | undefined {
  return issued.findLast((entry) => !withdrawn.has(entry.body.revision));
}
