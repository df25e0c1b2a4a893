import type { Circuit } from '../../circuit/circuit.js';
import { from } from '../content/sources.js';
import { waterFound } from './disturbers.js';
import type { ReadingDraft } from './reading-draft.js';

/**
 * The short repeat with the trim on: ground at the last outlet, the bond, what must be apart from ground on both sides of
 * the device, and TEST. Each is the reading it repeats, taken again at the handover.
 */
export function trimOnReadings(circuit: Circuit, taken: readonly ReadingDraft[]): ReadingDraft[] {
  const last = circuit.run.at(-1)!;
  const repeated = taken.filter(
    (r) =>
      r.id === `ground-path.${last.id}` ||
      r.id === 'bond' ||
      /^isolation\.(hot|neutral)-ground\.(inlet$|load\.)/.test(r.id) ||
      r.id.startsWith('dead-when-tripped.'),
  );
  return repeated.map((r) => ({
    ...r,
    id: `trim-on.${r.id}`,
    code: `Q-${r.code}`,
    step: 'trim-on-repeat',
    stage: 'handover',
    title: `Trim on: ${r.title}`,
    source: r.rule === 'ground-fault-device' ? r.source : from.testedTwice,
    disturbedBy: [...new Set([...r.disturbedBy, waterFound])],
  }));
}
