import type { Result } from '../errors.js';
import type { EntryOf, NewEntry } from '../logbook/entry.js';
import { type Proposal, refuse } from './proposal.js';

type CircuitSet = Extract<NewEntry, { kind: 'circuit set' }>;

/** A circuit may change at any time; once work began the change needs its reason, and the steps it touches open again. */
export function acceptCircuit({ entry, log }: Proposal<CircuitSet>): Result<NewEntry[]> {
  const began = log.steps.size > 0 || log.readings.size > 0;
  if (began && entry.body.reason === '') {
    return refuse('reason', 'Work has begun: say why the circuit changes.');
  }
  const gone = formerIds(log.circuits).filter((id) => !log.circuit?.run.some((o) => o.id === id));
  const reused = entry.body.circuit.run.findIndex((o) => gone.includes(o.id));
  if (reused >= 0)
    return refuse(
      `run.${reused}.id`,
      'belonged to an outlet that was taken out; a new outlet needs a new identity.',
    );
  return { ok: true, value: [entry] };
}

function formerIds(circuits: readonly EntryOf<'circuit set'>[]): string[] {
  return [...new Set(circuits.flatMap((e) => e.body.circuit.run.map((o) => o.id)))];
}
