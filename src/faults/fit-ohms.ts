import type { Fault } from '../meter/fault.js';
import { joinedOhm } from '../meter/fault.js';
import { leastPoorJointOhm } from './catalogue.js';
import type { Evidence } from './evidence.js';

/** Faults with their ohms fitted to the readings, and how well they then explain them. */
export interface Fitted {
  readonly faults: readonly Fault[];
  readonly logLikelihood: number;
}

/** Between these a path or a joint is looked for, Ω. */
const mostOhm = 1e9;
const leastOhm = 0.01;
/** Better than this (logarithm) no other ohms can be; worse than that a small step will not save it. */
const found = -0.05;
const hopeless = -70;

/**
 * The best explanation with the ohms of the given faults (by their index) left free: a continuous fit from what the dead
 * readings say, mended by least squares over all readings. Two free ohms are fitted in turn, each from what it was alone.
 * What the dead readings alone put below `floor` (logarithm) is given up at once.
 */
export function fitOhms(
  evidence: Evidence,
  faults: readonly Fault[],
  free: readonly number[],
  floor = Number.NEGATIVE_INFINITY,
): Fitted {
  if (free.length === 0) return { faults, logLikelihood: evidence.logLikelihood(faults) };
  if (free.length === 1) return fitOne(evidence, faults, free[0]!, floor);
  const [first, second] = [free[0]!, free[1]!];
  let best: Fitted | undefined;
  for (const [a, b] of [
    [first, second],
    [second, first],
  ] as const) {
    // One keeps the ohms that it came with while the other is fitted beside it, then the other way round.
    let fitted = fitOne(evidence, faults, b, floor - 30);
    if (fitted.logLikelihood < found && fitted.logLikelihood > hopeless) {
      fitted = better(fitted, fitOne(evidence, fitted.faults, a, floor));
    }
    best = best === undefined ? fitted : better(best, fitted);
    if (best.logLikelihood > found) break;
  }
  return best!;
}

function fitOne(evidence: Evidence, faults: readonly Fault[], free: number, floor: number): Fitted {
  const least = faults[free]!.fault === 'joined' ? leastOhm : leastPoorJointOhm;
  const at = (ohm: number) => replaceOhm(faults, free, Math.min(Math.max(ohm, least), mostOhm));
  let best: Fitted | undefined;
  for (const start of starts(evidence, faults, free)) {
    const dead = floor === Number.NEGATIVE_INFINITY ? 0 : evidence.deadLogLikelihood(at(start));
    if (dead < floor) {
      best ??= { faults: at(start), logLikelihood: dead };
      continue;
    }
    const first: Fitted = { faults: at(start), logLikelihood: evidence.logLikelihood(at(start)) };
    let fitted = first;
    if (first.logLikelihood < found && first.logLikelihood > hopeless) {
      const next = at(leastSquares(evidence, first.faults, free));
      fitted = better(fitted, { faults: next, logLikelihood: evidence.logLikelihood(next) });
    }
    best = best === undefined ? fitted : better(best, fitted);
    if (best.logLikelihood > found) break;
  }
  return best!;
}

/** Where to begin: what each numeric dead reading would make of the ohms, the readings that agree taken together. */
function starts(evidence: Evidence, faults: readonly Fault[], free: number): number[] {
  const [low, high] = [1, 2];
  const n = evidence.readings.length;
  const atLow = new Float64Array(n);
  const atHigh = new Float64Array(n);
  evidence.bench.showDead(replaceOhm(faults, free, low), atLow);
  evidence.bench.showDead(replaceOhm(faults, free, high), atHigh);
  const said: { ohm: number; error: number }[] = [];
  for (let i = 0; i < n; i++) {
    const shown = evidence.shown(i);
    if (evidence.readings[i]!.test !== 'resistance' || !Number.isFinite(shown)) continue;
    const slope = (atHigh[i]! - atLow[i]!) / (high - low);
    if (!(slope > 0.05) || !Number.isFinite(atLow[i]!)) continue;
    said.push({ ohm: low + (shown - atLow[i]!) / slope, error: evidence.error(i) / slope });
  }
  const agreed = clusters(said).slice(0, 2);
  if (agreed.length > 0) return agreed;
  return faults[free]!.fault === 'joined' ? [joinedOhm, 20, 2000] : [0.3, 1.5];
}

/** Values that agree within their errors, each cluster as its weighted mean; the one with most behind it first. */
function clusters(said: readonly { ohm: number; error: number }[]): number[] {
  const left = [...said].sort((a, b) => a.ohm - b.ohm);
  const found: { ohm: number; count: number }[] = [];
  while (left.length > 0) {
    const first = left[0]!;
    const together = left.filter((s) => s.ohm - first.ohm <= 1.5 * (s.error + first.error));
    left.splice(0, together.length);
    const weight = together.reduce((sum, s) => sum + 1 / s.error ** 2, 0);
    const mean = together.reduce((sum, s) => sum + s.ohm / s.error ** 2, 0) / weight;
    found.push({ ohm: mean, count: together.length });
  }
  return found.sort((a, b) => b.count - a.count).map((c) => c.ohm);
}

/** One step of weighted least squares over every reading that the ohms move and that is not plainly another's. */
function leastSquares(evidence: Evidence, faults: readonly Fault[], free: number): number {
  const ohm = ohmOf(faults[free]!);
  const step = Math.max(0.02 * ohm, 0.005);
  const here = evidence.bench.shows(faults).values;
  const there = evidence.bench.shows(replaceOhm(faults, free, ohm + step)).values;
  let top = 0;
  let bottom = 0;
  for (let i = 0; i < here.length; i++) {
    const error = evidence.error(i);
    const away = (evidence.shown(i) - here[i]!) / error;
    const slope = (there[i]! - here[i]!) / step / error;
    if (error === 0 || !Number.isFinite(away) || !Number.isFinite(slope) || Math.abs(away) > 6) continue;
    top += away * slope;
    bottom += slope * slope;
  }
  return bottom > 0 ? ohm + top / bottom : ohm;
}

function better(a: Fitted, b: Fitted): Fitted {
  return b.logLikelihood > a.logLikelihood ? b : a;
}

function ohmOf(fault: Fault): number {
  return 'ohms' in fault ? (fault.ohms ?? joinedOhm) : 0;
}

function replaceOhm(faults: readonly Fault[], index: number, ohms: number): Fault[] {
  return faults.map((f, i) => (i === index ? ({ ...f, ohms } as Fault) : f));
}
