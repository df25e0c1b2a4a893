import type { Shows } from '../meter/bench.js';
import type { Fault } from '../meter/fault.js';
import { joinedOhm } from '../meter/fault.js';
import type { Evidence } from './evidence.js';
import { type Start, startOhms, withOhm } from './start-ohms.js';

/** Faults with their ohms fitted to the readings, and how well they then explain them. */
export interface Fitted {
  readonly faults: readonly Fault[];
  readonly logLikelihood: number;
  /** What the bench shows with them; absent where they were given up before. */
  readonly shows?: Shows;
}

/** Better than this (logarithm) no other ohms can be. */
const found = -0.05;
/** What explains the dead readings worse than the first, and all of them worse than the second, no small step will save. */
const hopelessDead = -25;
const hopeless = -70;
/** So many of the starts that agree best with the dead readings are followed, each by so many steps. */
const mostStarts = 3;
const mostSteps = 4;
/** Shares of the dead readings' error at which ohms are tried on the other side of a threshold. */
const shares = [-0.9, 0.9, -0.6, 0.6, -0.3, 0.3];
/** A reading further off than this (in errors) may be another fault's: it pulls no harder. */
const mostPull = 6;

/** Certain ohms, with what the bench shows at them. */
interface Tried extends Fitted {
  readonly shows: Shows;
}

/**
 * The best explanation with the ohms of the given faults (by their index) left free: a continuous fit that starts from
 * what the dead readings say, is tried on the other side of a threshold (breaker, device, lamp) where an observation speaks
 * against it, and is mended by least squares over all readings. What the dead readings alone put below `floor` (logarithm)
 * is given up at once.
 */
export function fitOhms(
  evidence: Evidence,
  faults: readonly Fault[],
  free: readonly number[],
  floor = Number.NEGATIVE_INFINITY,
): Fitted {
  if (free.length === 0) return attempt(evidence, faults);
  const starts = startOhms(evidence, faults, free)
    .map((start) => ({ start, faults: withOhms(faults, free, start.ohms) }))
    .map((s) => ({ ...s, dead: evidence.deadLogLikelihood(s.faults) }))
    .sort((a, b) => b.dead - a.dead);
  let best: Tried | undefined;
  for (const { start, faults: from, dead } of starts.slice(0, mostStarts)) {
    if (dead < floor) break;
    let fitted = attempt(evidence, from);
    if (fitted.logLikelihood < found && (dead > hopelessDead || fitted.logLikelihood > hopeless))
      fitted = followSteps(evidence, acrossThresholds(evidence, fitted, free, start), free);
    if (best === undefined || fitted.logLikelihood > best.logLikelihood) best = fitted;
    if (best.logLikelihood > found) break;
  }
  return best ?? { faults: starts[0]!.faults, logLikelihood: starts[0]!.dead };
}

function attempt(evidence: Evidence, faults: readonly Fault[]): Tried {
  const shows = evidence.bench.shows(faults);
  return { faults, shows, logLikelihood: evidence.total(shows) };
}

/**
 * Other ohms that the dead readings allow as well, where breaker or device stands too near its threshold to say, or otherwise
 * than was observed.
 */
function acrossThresholds(evidence: Evidence, first: Tried, free: readonly number[], start: Start): Tried {
  const terms = evidence.terms(first.shows);
  const stands = evidence.readings.every(
    (r, i) => r.test !== 'observation' || (terms[i]! > -1 && !Number.isNaN(first.shows.values[i]!)),
  );
  if (stands) return first;
  let best = first;
  free.forEach((index, k) => {
    if (start.spread[k] === 0) return;
    for (const share of shares) {
      const ohms = start.ohms[k]! + share * start.spread[k]!;
      const other = attempt(evidence, withOhm(first.faults, index, ohms));
      if (other.logLikelihood > best.logLikelihood) best = other;
    }
  });
  return best;
}

/** Steps of least squares, as long as each explains more. */
function followSteps(evidence: Evidence, first: Tried, free: readonly number[]): Tried {
  let best = first;
  for (let step = 0; step < mostSteps && best.logLikelihood < found; step++) {
    const next = attempt(evidence, withOhms(best.faults, free, leastSquares(evidence, best, free)));
    if (next.logLikelihood <= best.logLikelihood) break;
    best = next;
  }
  return best;
}

/** One step of weighted least squares over every reading that the ohms move, one or two unknowns at a time. */
function leastSquares(evidence: Evidence, { faults, shows }: Tried, free: readonly number[]): number[] {
  const ohms = free.map((index) => ohmOf(faults[index]!));
  const steps = ohms.map((ohm) => Math.max(0.02 * ohm, 0.005));
  const here = evidence.asMet(shows);
  const there = free.map((index, k) =>
    evidence.asMet(evidence.bench.shows(withOhm(faults, index, ohms[k]! + steps[k]!))),
  );
  let [aa, ab, bb, ay, by] = [0, 0, 0, 0, 0];
  for (let i = 0; i < here.length; i++) {
    const error = evidence.error(i);
    const away = (evidence.shown(i) - here[i]!) / error;
    if (error === 0 || !Number.isFinite(away)) continue;
    const slope = (k: number) => (k < there.length ? (there[k]![i]! - here[i]!) / steps[k]! / error : 0);
    const [a, b] = [slope(0), slope(1)];
    if (!Number.isFinite(a) || !Number.isFinite(b)) continue;
    const weight = Math.min(1, mostPull / Math.abs(away));
    aa += weight * a * a;
    ab += weight * a * b;
    bb += weight * b * b;
    ay += weight * a * away;
    by += weight * b * away;
  }
  const determinant = aa * bb - ab * ab;
  if (free.length === 2 && determinant > 1e-6 * aa * bb)
    return [ohms[0]! + (bb * ay - ab * by) / determinant, ohms[1]! + (aa * by - ab * ay) / determinant];
  // Of two that only their sum is known of, the one with more to say moves.
  if (aa >= bb) return aa > 0 ? ohms.with(0, ohms[0]! + ay / aa) : ohms;
  return ohms.with(1, ohms[1]! + by / bb);
}

function withOhms(
  faults: readonly Fault[],
  free: readonly number[],
  ohms: readonly number[],
): readonly Fault[] {
  return free.reduce((all, index, k) => withOhm(all, index, ohms[k]!), faults);
}

function ohmOf(fault: Fault): number {
  return 'ohms' in fault ? (fault.ohms ?? joinedOhm) : 0;
}
