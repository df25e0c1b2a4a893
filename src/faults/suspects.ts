import type { Fault } from '../meter/fault.js';
import type { Candidate } from './catalogue.js';
import { catalogue } from './catalogue.js';
import type { Evidence } from './evidence.js';
import type { Fitted } from './fit-ohms.js';
import { unexplained, weighPairs } from './weigh-pairs.js';
import { type Single, weighSingle } from './weigh-single.js';

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

/**
 * Weighs "nothing wrong", every single fault and, where the best of these leaves a reading unexplained, every pair that the
 * readings leave a chance.
 * @source de Kleer and Williams, Diagnosing Multiple Faults, Artificial Intelligence 32 (1987)
 */
export function rankSuspects(evidence: Evidence): Ranked {
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
  if (hasUnexplained(evidence, best)) {
    hypotheses.push(...weighPairs(evidence, singles, evidence.terms(soundShows), posterior(best)));
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

function hasUnexplained(evidence: Evidence, hypothesis: Hypothesis): boolean {
  return evidence.terms(evidence.bench.shows(hypothesis.faults)).some((t) => t < unexplained);
}

function hypothesisOf(single: Single): Hypothesis {
  const { candidate, fitted } = single;
  return { ...fitted, logPrior: candidate.logPrior, reason: candidate.reason };
}

function posterior(hypothesis: Hypothesis): number {
  return hypothesis.logLikelihood + hypothesis.logPrior;
}

function keyText(faults: readonly Fault[]): string {
  return JSON.stringify(faults);
}
