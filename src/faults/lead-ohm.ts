import type { Bench } from '../meter/bench.js';
import type { Reading } from '../meter/readings-file.js';

/** Readings of bare conductors lie below this, leads and all, Ω. */
export const lowOhm = 1.5;
/** From so many of them on, what all show too much is told to be the leads'. */
export const enoughLow = 5;

/** Readings with what each showed and may be off by, Ω, and what a circuit shows at them. */
interface Shown {
  readonly readings: readonly Reading[];
  readonly bench: Bench;
  shown(index: number): number;
  error(index: number): number;
}

/** What the low dead readings show beyond the sound circuit in common, Ω: their median, where the meter can tell so much. */
export function leadOhm(evidence: Shown): number {
  const sound = new Float64Array(evidence.readings.length);
  evidence.bench.showDead([], sound);
  const beyond = evidence.readings
    .flatMap((r, i) => {
      const shown = evidence.shown(i);
      return r.test === 'resistance' && sound[i]! < lowOhm && shown < lowOhm
        ? [{ ohm: shown - sound[i]!, error: evidence.error(i) }]
        : [];
    })
    .sort((a, b) => a.ohm - b.ohm);
  const median = beyond[(beyond.length - 1) >> 1];
  if (median === undefined || beyond.length < enoughLow || median.ohm < 0.8 * median.error) return 0;
  // Leads are in every reading: where several lack it, it is a joint.
  return beyond.filter((b) => b.ohm < median.ohm - b.error).length > 1 ? 0 : median.ohm;
}
