import { AppError } from '../../errors.js';
import type { JobFile } from './job-file.js';

/** Two machines' clocks may differ by so much, ms: more is a wrong clock, or an hour taken for another zone's. */
const apartMs = 3_600_000;

/**
 * Throws AppError `bad-file` for the first entry of a file that is dated later than now: no page writes one. Behind it every pause would
 * be none, and every further entry would be dated before it.
 */
export function refuseNotYet({ entries }: Pick<JobFile, 'entries'>, now: Date): void {
  const k = entries.findIndex(({ at }) => Date.parse(at) - now.getTime() > apartMs);
  if (k < 0) return;
  throw new AppError(
    'bad-file',
    `entries.${k}.at: ${entries[k]!.at} has not come yet by the clock of this machine (${now.toISOString()}): where that is wrong, set it right; else bring the job in when that time has come`,
  );
}
