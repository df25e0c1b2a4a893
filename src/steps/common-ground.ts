import type { JobLog } from '../logbook/job-log.js';

/** What every step and reading stands on besides its own entries. */
const parts = ['circuits', 'circuit', 'struck', 'reworks', 'concessions', 'questioned'] as const;

/** All that a step or a reading may see of a log besides its own entries. */
export type CommonGround = Pick<JobLog, (typeof parts)[number]>;

/** True where two logs give their steps and readings the same ground: what was written between them moves only what it is about. */
export function sameGround(one: CommonGround, other: CommonGround): boolean {
  return parts.every((part) => one[part] === other[part]);
}
