import type { Circuit } from '../../circuit/circuit.js';
import { cordReadings } from './cord-readings.js';
import { deadReadings } from './dead-readings.js';
import { liveReadings } from './live-readings.js';
import type { ReadingDraft } from './reading-draft.js';
import { otherSourceReadings, supplyReadings } from './supply-readings.js';
import { trimOnReadings } from './trim-on-readings.js';

/** Every reading that a circuit calls for, in the order in which they are taken; the engine is not asked yet. */
export function readingDrafts(circuit: Circuit): ReadingDraft[] {
  const taken = [
    ...deadReadings(circuit),
    ...cordReadings(circuit),
    ...supplyReadings(circuit),
    ...liveReadings(circuit),
    ...otherSourceReadings(circuit),
  ];
  return [...taken, ...trimOnReadings(circuit, taken)];
}
