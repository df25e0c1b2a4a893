import { type Fault, faultOfOhms } from '../meter/fault.js';
import type { Candidate } from './catalogue.js';
import type { Evidence } from './evidence.js';
import { type Fitted, fitOhms } from './fit-ohms.js';
import { atBounds, leastOhm } from './start-ohms.js';

/** A single fault with what the readings say to it. */
export interface Single {
  readonly candidate: Candidate;
  readonly fitted: Fitted;
  /** Each reading's likelihood (logarithm) with the fault as fitted. */
  readonly terms: Float64Array;
  /** For each reading: the best that this fault can make of it, whatever its ohms. */
  readonly best: Float64Array;
  /** For each reading: the fault changes what it shows, or may beside another. */
  readonly touches: Uint8Array;
  /** With its ohms fitted it still changes a reading by more than the meter may err; else it is not guessed at. */
  readonly shown: boolean;
  /** With some ohms or other it changes a reading that was taken. */
  readonly seen: boolean;
}

/** The fault with its ohms fitted, against what the sound circuit shows. */
export function weighSingle(evidence: Evidence, candidate: Candidate, sound: Float64Array): Single {
  const { fault } = candidate;
  const fitted = fitOhms(evidence, [fault], candidate.fitted ? [0] : []);
  const shows = fitted.shows ?? evidence.bench.shows(fitted.faults);
  const touches = new Uint8Array(sound.length);
  const mark = (values: Float64Array) => {
    for (let i = 0; i < sound.length; i++) if (differs(evidence, i, sound[i]!, values[i]!)) touches[i] = 1;
  };
  mark(shows.values);
  for (const { values, weak } of shows.others) {
    mark(values);
    if (weak !== undefined) mark(weak);
  }
  const shown = touches.includes(1);
  const terms = evidence.terms(shows);
  const best = terms.slice();
  if (candidate.fitted) {
    for (const ohms of [leastOhm(fault), 1000]) {
      const at = evidence.bench.shows([faultOfOhms(fault, ohms)]);
      mark(at.values);
      evidence.terms(at).forEach((t, i) => {
        // Between two numbers some ohms may fit; a yes stays what it is.
        const between = Number.isFinite(at.values[i]!) && evidence.error(i) > 0 && touches[i] === 1;
        best[i] = between ? 0 : Math.max(best[i]!, t);
      });
    }
    const [low, high] = [sound.slice(), sound.slice()];
    evidence.bench.showDead(atBounds(evidence, [fault], 'least'), low);
    evidence.bench.showDead(atBounds(evidence, [fault], 'most'), high);
    for (const i of evidence.dead) {
      if (differs(evidence, i, sound[i]!, high[i]!)) touches[i] = 1;
      best[i] = evidence.deadTerm(i, low[i]!, high[i]!);
    }
  }
  const seen = touches.includes(1);
  touchLive(evidence, fault, touches, best);
  return { candidate, fitted, terms, best, touches, shown, seen };
}

/**
 * What a fault changes beside another it may not change alone. A path between conductors or an exchange can bring any volts
 * to any slot; whatever changes anything live may decide whether breaker and device hold; and where the device fell every
 * live reading may come from both.
 */
function touchLive(evidence: Evidence, fault: Fault, touches: Uint8Array, best: Float64Array): void {
  const fell = evidence.readings.some(
    (r) => r.test === 'observation' && 'answer' in r && r.what !== 'dead-when-tripped' && !r.answer,
  );
  const brings = fault.fault === 'joined' || fault.fault === 'swapped' || fault.fault === 'face-swapped';
  const live = evidence.readings.some((r, i) => r.test !== 'resistance' && touches[i] === 1);
  evidence.readings.forEach((r, i) => {
    if (touches[i] === 1 || r.test === 'resistance') return;
    if (!fell && !brings && !(live && r.test === 'observation')) return;
    touches[i] = 1;
    best[i] = 0;
  });
}

/** True where two predictions for a reading lie further apart than half of what the meter may err. */
function differs(evidence: Evidence, index: number, a: number, b: number): boolean {
  if (Number.isNaN(a) || Number.isNaN(b)) return Number.isNaN(a) !== Number.isNaN(b);
  const most = evidence.bench.meter.ohms.overLimit;
  if (evidence.readings[index]!.test === 'resistance' && (a > most || b > most)) return a > most !== b > most;
  return Math.abs(a - b) > 0.5 * evidence.error(index);
}
