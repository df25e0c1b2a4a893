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
  const kept = new WeakMap<S, { readonly own: O; seen: readonly unknown[]; readonly value: V }>();
  // All subjects of a job are asked for with the same log, one after the other: its parts are looked at once for all of them.
  let asked: { readonly log: Pick<JobLog, K>; readonly seen: readonly unknown[] } | undefined;
  return (subject, own, log) => {
    const last = kept.get(subject);
    if (asked?.log !== log) {
      const seen = parts.map((part) => log[part]);
      asked = { log, seen: last !== undefined && alike(last.seen, seen) ? last.seen : seen };
    }
    const { seen } = asked;
    if (last !== undefined && last.own === own && (last.seen === seen || alike(last.seen, seen))) {
      last.seen = seen;
      return last.value;
    }
    const value = work(subject, own, log);
    kept.set(subject, { own, seen, value });
    return value;
  };
}

const alike = (one: readonly unknown[], other: readonly unknown[]) =>
  one.every((part, k) => part === other[k]);
