import type { Fault } from '../meter/fault.js';
import type { Candidate } from './catalogue.js';
import { catalogue, logPriorOfPair } from './catalogue.js';
import type { Evidence } from './evidence.js';
import { type Fitted, fitOhms } from './fit-ohms.js';

/** One explanation of the readings: no fault, one, or two. */
export interface Hypothesis extends Fitted {
  readonly logPrior: number;
  readonly reason: string;
}

export interface Ranked {
  /** Every explanation that was weighed, "nothing wrong" (no faults) among them, most probable first. */
  readonly hypotheses: readonly (Hypothesis & { readonly probability: number })[];
  /** Faults that no reading taken can show. */
  readonly unseen: readonly Candidate[];
}

/** A single fault with what the readings say to it. */
interface Single {
  readonly candidate: Candidate;
  readonly fitted: Fitted;
  readonly terms: Float64Array;
  /** For each reading: the best that this fault can make of it, whatever its ohms. */
  readonly best: Float64Array;
  /** For each reading: the fault changes what it shows. */
  readonly touches: Uint8Array;
  /** With its ohms fitted it still changes a reading by more than the meter may err; else it is not guessed at. */
  readonly shown: boolean;
  /** With some ohms or other it changes a reading that was taken. */
  readonly seen: boolean;
}

/** A reading explained worse than this asks for a second fault. */
const unexplained = -1.5;
/** An explanation that cannot come this near to the best is not worth weighing (logarithm). */
const hopeless = 14;

/**
 * Weighs "nothing wrong", every single fault and, where no single one explains every reading, every pair that could:
 * each fault of a pair must touch a reading that the other leaves unexplained.
 * @source de Kleer and Williams, Diagnosing Multiple Faults, Artificial Intelligence 32 (1987)
 */
export function rankSuspects(evidence: Evidence, options: { readonly mostFaults?: 1 | 2 } = {}): Ranked {
  const soundShows = evidence.bench.shows([]);
  const sound: Hypothesis = {
    faults: [],
    logLikelihood: evidence.total(soundShows),
    logPrior: 0,
    reason: 'as many first tests find nothing as find something',
  };
  const singles = catalogue(evidence.bench.circuit).map((c) => weighSingle(evidence, c, soundShows.values));
  const seen = singles.filter((s) => s.seen);
  const hypotheses = [sound, ...seen.filter((s) => s.shown).map(hypothesisOf)];
  const best = hypotheses.reduce((a, b) => (posterior(b) > posterior(a) ? b : a));
  if (options.mostFaults !== 1 && hasUnexplained(evidence, best)) {
    hypotheses.push(...weighPairs(evidence, singles, evidence.terms(soundShows), best));
  }
  const top = Math.max(...hypotheses.map(posterior));
  const weights = hypotheses.map((h) => Math.exp(posterior(h) - top));
  const sum = weights.reduce((a, b) => a + b, 0);
  return {
    hypotheses: hypotheses
      .map((h, i) => ({ ...h, probability: weights[i]! / sum }))
      .sort((a, b) => b.probability - a.probability || (keyText(a.faults) < keyText(b.faults) ? -1 : 1)),
    unseen: singles.filter((s) => !s.seen).map((s) => s.candidate),
  };
}

function weighSingle(evidence: Evidence, candidate: Candidate, sound: Float64Array): Single {
  const fitted = fitOhms(evidence, [candidate.fault], candidate.fitted ? [0] : []);
  const shows = evidence.bench.shows(fitted.faults);
  const touches = new Uint8Array(sound.length);
  const mark = (values: Float64Array) => {
    for (let i = 0; i < sound.length; i++) if (differs(evidence, i, sound[i]!, values[i]!)) touches[i] = 1;
  };
  mark(shows.values);
  if (shows.other !== undefined) mark(shows.other);
  const shown = touches.includes(1);
  const terms = evidence.terms(shows);
  const best = terms.slice();
  if (candidate.fitted) {
    for (const ohms of [0.01, 1000]) {
      const at = evidence.bench.shows([{ ...candidate.fault, ohms } as Fault]);
      mark(at.values);
      evidence.terms(at).forEach((t, i) => {
        // Between two numbers some ohms may fit; over-limit or a yes stays what it is.
        const between =
          Number.isFinite(at.values[i]!) && Number.isFinite(evidence.shown(i)) && touches[i] === 1;
        best[i] = between ? 0 : Math.max(best[i]!, t);
      });
    }
  }
  const seen = touches.includes(1);
  touchLive(evidence, candidate.fault, touches, best);
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

function weighPairs(
  evidence: Evidence,
  singles: readonly Single[],
  sound: Float64Array,
  best: Hypothesis,
): Hypothesis[] {
  const pairs: { a: Single; b: Single; bound: number }[] = [];
  singles.forEach((a, i) => {
    for (const b of singles.slice(i + 1)) {
      if (!helps(a, b) || !helps(b, a)) continue;
      const most = bound(a, b, sound) + logPriorOfPair(a.candidate, b.candidate);
      pairs.push({ a, b, bound: most });
    }
  });
  pairs.sort((p, q) => q.bound - p.bound);
  let top = posterior(best);
  const found: Hypothesis[] = [];
  for (const { a, b, bound: most } of pairs) {
    if (most < top - hopeless) break;
    const faults = [...a.fitted.faults, ...b.fitted.faults];
    const free = [a, b].flatMap((s, i) => (s.candidate.fitted ? [i] : []));
    const logPrior = logPriorOfPair(a.candidate, b.candidate);
    if (free.length === 0 && evidence.deadLogLikelihood(faults) + logPrior < top - hopeless) continue;
    const pair: Hypothesis = {
      ...fitOhms(evidence, faults, free, top - hopeless - logPrior),
      logPrior,
      reason: `${a.candidate.reason}; ${b.candidate.reason}`,
    };
    top = Math.max(top, posterior(pair));
    found.push(pair);
  }
  return found;
}

/** True where `b` changes a reading that `a` alone leaves unexplained. */
function helps(a: Single, b: Single): boolean {
  for (let i = 0; i < a.terms.length; i++) if (a.terms[i]! < unexplained && b.touches[i] === 1) return true;
  return false;
}

/** What a pair can reach at the most: a reading that both touch may come right, one that neither touches stays as it is. */
function bound(a: Single, b: Single, sound: Float64Array): number {
  let sum = 0;
  let neither = 0;
  for (let i = 0; i < sound.length; i++) {
    const [inA, inB] = [a.touches[i] === 1, b.touches[i] === 1];
    if (inA && inB) continue;
    if (inA) sum += a.best[i]!;
    else if (inB) sum += b.best[i]!;
    else neither += sound[i]!;
  }
  // Two paths can together close a third pair that neither closes alone; a few readings may come right that way.
  const paths = a.candidate.fault.fault === 'joined' && b.candidate.fault.fault === 'joined';
  return sum + (paths ? Math.min(0, neither + 45) : neither);
}

function hasUnexplained(evidence: Evidence, hypothesis: Hypothesis): boolean {
  return evidence.terms(evidence.bench.shows(hypothesis.faults)).some((t) => t < unexplained);
}

function hypothesisOf(single: Single): Hypothesis {
  return { ...single.fitted, logPrior: single.candidate.logPrior, reason: single.candidate.reason };
}

function posterior(hypothesis: Hypothesis): number {
  return hypothesis.logLikelihood + hypothesis.logPrior;
}

function keyText(faults: readonly Fault[]): string {
  return JSON.stringify(faults);
}
