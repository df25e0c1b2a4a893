import type { JobLog } from '../logbook/job-log.js';

/**
 * The same work, answered from memory where nothing that it is computed from is another than the last time: of a log that grew by
 * an entry, nearly all steps and readings stand as before. `parts` are all of the log that the work may see; `own` is what else it
 * takes. One answer is kept for each subject, as long as the subject is there.
 */
export function remembered<S extends object, O, K extends keyof JobLog, V>(
  parts: readonly K[],
  work: (subject: S, own: O, log: Pick<JobLog, K>) => V,
): (subject: S, own: O, log: Pick<JobLog, K>) => V {
  const kept = new WeakMap<S, { readonly own: O; readonly seen: readonly unknown[]; readonly value: V }>();
  return (subject, own, log) => {
    const last = kept.get(subject);
    if (last !== undefined && last.own === own && parts.every((part, k) => last.seen[k] === log[part]))
      return last.value;
    const value = work(subject, own, log);
    kept.set(subject, { own, seen: parts.map((part) => log[part]), value });
    return value;
  };
}
