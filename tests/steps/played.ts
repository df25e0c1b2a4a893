import { demoPeople, demoScript } from '../../seed-demo/demo-script.js';
import { playJob, type Script } from '../../seed-demo/play-job.js';
import type { Circuit } from '../../src/circuit/circuit.js';
import { seal } from '../../src/logbook/chain.js';
import type { Entry, NewEntry } from '../../src/logbook/entry.js';
import { foldJob, type JobLog } from '../../src/logbook/job-log.js';
import { accept } from '../../src/steps/accept.js';
import { assess } from '../../src/steps/assess.js';
import type { Assessment } from '../../src/steps/assessment.js';
import type { Asker } from '../../src/steps/proposal.js';
import { demoCircuit } from '../circuit/demo-circuit.js';

export const [fitter, checker] = demoPeople as [Asker, Asker];

/** A photo entry body for whatever ask wants one: a digest, no picture. */
export const anyPhoto: NonNullable<Script['photo']> = (step, ask) => ({
  photo: [...`${step.id}.${ask.id}`]
    .map((c) => (c.codePointAt(0) ?? 0).toString(16))
    .join('')
    .padEnd(64, '0')
    .slice(0, 64),
  original: '0'.repeat(64),
  caption: ask.label,
  widthPx: 4,
  heightPx: 3,
  ask: ask.id,
});

/** The entries of the demonstration, without its mishap, up to where `until` holds. */
export function played(circuit: Circuit = demoCircuit(), more: Partial<Script> = {}): Entry[] {
  return playJob({ ...demoScript(circuit), mishaps: {}, photo: anyPhoto, ...more });
}

/** Puts an entry through the gate and, where it is taken, behind the others. */
export function propose(
  entries: readonly Entry[],
  entry: NewEntry,
  by: Asker = fitter,
  people = [fitter, checker],
  sealed = false,
) {
  const answer = accept(foldJob(entries), entry, { by, people, sealed });
  if (!answer.ok) return { ok: false as const, issues: answer.issues, entries };
  const longer = [...entries];
  for (const accepted of answer.value) {
    const placed = {
      ...accepted,
      job: '2026-001',
      at: '2026-09-16T10:00:00.000Z',
      by: { id: by.id, name: by.name },
      key: `k-${longer.length}`,
    };
    longer.push(seal(placed, longer.at(-1)) as Entry);
  }
  return { ok: true as const, issues: [], entries: longer, written: answer.value };
}

export function jobOf(entries: readonly Entry[]): Assessment {
  const job = assess(foldJob(entries));
  if (job === undefined) throw new Error('the log has no circuit');
  return job;
}

export function logOf(entries: readonly Entry[]): JobLog {
  return foldJob(entries);
}
