import type { Entry } from '../logbook/entry.js';
import type { JobLog } from '../logbook/job-log.js';

/**
 * Who else did steps, took readings or mended, beside the fitter and the checker that the job names: somebody who took the job over,
 * or had it before. In the order in which they came, each under the name of their last entry.
 */
export function othersAtWork({ entries, described }: JobLog): string[] {
  const named = new Set([described?.fitter, described?.checker]);
  const work = entries.filter(isWork);
  const known = new Set(work.filter(({ by }) => named.has(by.name)).map(({ by }) => by.id));
  return [...new Map(work.map(({ by }) => [by.id, by.name]))].flatMap(([id, name]) =>
    known.has(id) ? [] : [name],
  );
}

function isWork({ kind }: Entry): boolean {
  return kind === 'step done' || kind === 'reading taken' || kind === 'defect reworked';
}
