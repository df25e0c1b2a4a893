import { changedParts } from '../../circuit/changed-parts.js';
import { foldJob } from '../../logbook/job-log.js';
import { assess } from '../../steps/assess.js';
import { jobPath } from '../words/job-words.js';
import type { JobAt } from './job-at.js';

/**
 * What one entry, a change of the circuit or a mend, opens again: the steps and readings that counted before it and do not
 * count after it, each with its reason. Told by the state of the job on either side of the entry.
 */
export function reopenedBy({ number, log }: JobAt, seq: number) {
  const upTo = (last: number) => assess(foldJob(log.entries.filter((e) => e.seq <= last)));
  const before = upTo(seq - 1);
  const after = upTo(seq);
  const entry = log.entries.find((e) => e.seq === seq);
  const wasDone = (id: string) =>
    before?.steps.get(id)?.done !== undefined && before.steps.get(id)?.reopened.length === 0;
  const counted = (id: string) => before?.readings.get(id)?.taken !== undefined;
  return {
    changes:
      entry?.kind === 'circuit set' && before && after ? changedParts(before.circuit, after.circuit) : [],
    reason: entry !== undefined && 'reason' in entry.body ? String(entry.body.reason) : '',
    steps: [...(after?.steps.values() ?? [])]
      .filter((s) => s.reopened.length > 0 && wasDone(s.step.id))
      .map((s) => ({
        number: s.step.number,
        title: s.step.title,
        why: s.reopened.join(' '),
        href: jobPath(number, 'steps', s.step.id),
      })),
    readings: [...(after?.readings.values() ?? [])]
      .filter((r) => r.taken === undefined && r.all.length > 0 && counted(r.planned.id))
      .map((r) => ({
        number: r.planned.code,
        title: r.planned.title,
        why: r.remarks.join(' '),
        href: jobPath(number, 'readings', r.planned.id),
      })),
  };
}
