import type { Circuit } from '../../circuit/circuit.js';
import { standingCautions } from '../../trade/cautions.js';
import { waterFound } from './disturbers.js';
import { lastSlotsIsolation } from './isolation-readings.js';
import type { ReadingDraft } from './reading-draft.js';

/**
 * The short repeat with the trim on: ground at the last outlet, the bond, hot and neutral to ground at the inlet and in the
 * slots of the last outlet, and TEST at every outlet. Each is a reading taken before, taken again at the handover.
 */
export function trimOnReadings(circuit: Circuit, taken: readonly ReadingDraft[]): ReadingDraft[] {
  const last = circuit.run.at(-1)!;
  const again = (ids: readonly string[]) => taken.filter((r) => ids.includes(r.id));
  const repeated = [
    ...again([`ground-path.${last.id}`, 'bond']),
    ...again(['isolation.hot-ground.inlet', 'isolation.neutral-ground.inlet']),
    ...lastSlotsIsolation(circuit),
    ...taken.filter((r) => r.what === 'dead-when-tripped'),
  ];
  return repeated.map((r) => ({
    ...r,
    id: `trim-on.${r.id}`,
    code: `Q-${r.code}`,
    step: r.test === 'observation' ? 'trim-on-test' : 'trim-on-repeat',
    stage: 'handover',
    beside: { law: 'as-before', before: r.id },
    // With power still, though the stage is no longer the live one.
    cautions: r.stage === 'live' ? [...new Set([...r.cautions, ...standingCautions])] : r.cautions,
    title: `Trim on: ${r.title}`,
    disturbedBy: [...new Set([...r.disturbedBy, waterFound])],
  }));
}
