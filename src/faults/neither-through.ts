import { type Fault, placeNumber } from '../meter/fault.js';
import { outletOf, pointText } from '../meter/point.js';
import type { Reading } from '../meter/readings-file.js';
import { polesOf } from './crosswise.js';
import { between } from './taken.js';

/**
 * Where hot and neutral of an outlet both read OL, the two are exchanged, or neither comes from there: it may hang on LINE, or on a
 * cable past the ground-fault device. Only a reading crosswise tells; exchanged on trust, wires that were right are made wrong.
 */
export function neitherThrough(
  readings: readonly Reading[],
  leading: readonly (readonly Fault[])[],
): string[] {
  const suspected = leading.some((faults) => faults.some(isExchange));
  if (!suspected) return [];
  for (const [h, n] of polesOf(readings)) {
    const [hot, neutral] = [readings[h]!, readings[n]!];
    if (!isOpen(hot) || !isOpen(neutral) || outletOf(hot.to) === undefined) continue;
    const [from, to] = [hot.from, neutral.to];
    if (readings.some((r) => r.test === 'resistance' && between(r, from, to))) continue;
    return [
      `Are the two exchanged, or does neither come from there? Read ${pointText(from)} to ${pointText(to)}: through says exchanged. OL again: what feeds that outlet comes another way, as from LINE or past the ground-fault device. Follow its cable before anything is landed anew.`,
    ];
  }
  return [];
}

const isOpen = (r: Reading): r is Extract<Reading, { test: 'resistance' }> =>
  r.test === 'resistance' && r.ohms === null;

function isExchange(fault: Fault): boolean {
  if (fault.fault !== 'swapped' && fault.fault !== 'face-swapped') return false;
  return placeNumber(fault.where) > 0 && !fault.conductors.includes('ground');
}
