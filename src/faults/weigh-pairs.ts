import type { Conductor } from '../meter/electrical-circuit.js';
import type { Fault } from '../meter/fault.js';
import type { Meter } from '../meter/meter.js';
import { leastPoorJointOhm, logPriorOfPair } from './catalogue.js';
import type { Evidence } from './evidence.js';
import { type Fitted, fitOhms } from './fit-ohms.js';
import { atBounds } from './start-ohms.js';
import type { Single } from './weigh-single.js';

/** Two faults at once, with what the readings say to them. */
interface WeighedPair extends Fitted {
  readonly logPrior: number;
  readonly reason: string;
}

/** A reading explained worse than this asks for a second fault. */
export const unexplained = -0.5;
/** An explanation that cannot come this near to the best is not worth weighing (logarithm). */
const hopeless = 14;
/** What the live readings seem to say against a pair counts for its place in the order, and no further than this. */
const mostDoubt = -40;
/** So many ohms are fitted at the most, in predictions of all readings; a pair with nothing to fit is always weighed. */
const mostWork = 3000;
const workOfFit = [0, 6, 15] as const;

interface Sifted {
  readonly a: Single;
  readonly b: Single;
  readonly logPrior: number;
  /** The dead readings' likelihood is at most this, whatever the ohms. */
  readonly dead: number;
  /** How promising it looks, live readings and all. */
  readonly promise: number;
}

/**
 * Weighs every pair of the catalogue that the dead readings leave a chance against the best explanation so far (`top`,
 * logarithm of its likelihood and prior together), the most promising first.
 */
export function weighPairs(
  evidence: Evidence,
  singles: readonly Single[],
  sound: Float64Array,
  top: number,
): WeighedPair[] {
  let best = top;
  let work = 0;
  const found: WeighedPair[] = [];
  for (const { a, b, logPrior, dead } of sift(evidence, singles, sound, top - hopeless)) {
    if (dead + logPrior < best - hopeless) continue;
    const free = [a, b].flatMap((s, i) => (s.candidate.fitted ? [i] : []));
    work += workOfFit[free.length]!;
    if (free.length > 0 && work > mostWork) continue;
    const faults = [...a.fitted.faults, ...b.fitted.faults];
    const fitted = fitOhms(evidence, faults, free, best - hopeless - logPrior);
    if (fitted.faults.some((f) => isNothing(f, evidence.bench.meter))) continue;
    best = Math.max(best, fitted.logLikelihood + logPrior);
    found.push({ ...fitted, logPrior, reason: `${a.candidate.reason}; ${b.candidate.reason}` });
  }
  return found;
}

/** Fitted to the very end of what can be told from no fault: a path of more ohms than the meter shows, a joint as good as sound. */
function isNothing(fault: Fault, meter: Meter): boolean {
  if (fault.fault === 'joined') return (fault.ohms ?? 0) > meter.ohms.overLimit;
  return fault.fault === 'high-resistance' && fault.ohms <= leastPoorJointOhm;
}

function sift(
  evidence: Evidence,
  singles: readonly Single[],
  sound: Float64Array,
  floor: number,
): readonly Sifted[] {
  const live = evidence.readings.flatMap((r, i) => (r.test === 'resistance' ? [] : [i]));
  const sifted: Sifted[] = [];
  singles.forEach((a, i) => {
    for (let j = i + 1; j < singles.length; j++) {
      const b = singles[j]!;
      const meet = meetDead(a.candidate.fault, b.candidate.fault);
      if (!helps(evidence, a, b, meet) || !helps(evidence, b, a, meet)) continue;
      const logPrior = logPriorOfPair(a.candidate, b.candidate);
      const interact = meet && !(isInSeries(a.candidate.fault) && isInSeries(b.candidate.fault));
      const dead = interact ? deadBound(evidence, a, b, floor - logPrior) : apart(evidence.dead, a, b, sound);
      if (dead + logPrior < floor) continue;
      const doubt = Math.max(mostDoubt, apart(live, a, b, sound));
      sifted.push({ a, b, logPrior, dead, promise: logPrior + dead + doubt });
    }
  });
  return sifted.sort((p, q) => q.promise - p.promise);
}

/** True where `b` may change a reading that `a` alone leaves unexplained: it does so alone, or the two meet. */
function helps(evidence: Evidence, a: Single, b: Single, meet: boolean): boolean {
  return evidence.readings.some(
    (r, i) => a.terms[i]! < unexplained && (b.touches[i] === 1 || (meet && r.test === 'resistance')),
  );
}

/** What the dead readings can say for a pair at the most, whatever its ohms; anything below `floor` where it is below. */
function deadBound(evidence: Evidence, a: Single, b: Single, floor: number): number {
  const faults = [a.candidate.fault, b.candidate.fault];
  const low = boundShows(evidence, faults, 'least');
  // More ohms anywhere make no path shorter: what reads too much already at the fewest ohms reads too much at any.
  let sum = 0;
  const fitted = a.candidate.fitted || b.candidate.fitted;
  for (const i of evidence.dead)
    sum += evidence.deadTerm(i, low[i]!, fitted ? Number.POSITIVE_INFINITY : low[i]!);
  if (!fitted || sum < floor) return sum;
  const high = boundShows(evidence, faults, 'most');
  sum = 0;
  for (const i of evidence.dead) sum += evidence.deadTerm(i, low[i]!, high[i]!);
  return sum;
}

function boundShows(evidence: Evidence, faults: readonly Fault[], bound: 'least' | 'most'): Float64Array {
  const values = new Float64Array(evidence.readings.length);
  evidence.bench.showDead(atBounds(evidence, faults, bound), values);
  return values;
}

/** What a pair can reach where each reading is touched by one, by neither, or by both and may then come right. */
function apart(indices: readonly number[], a: Single, b: Single, sound: Float64Array): number {
  let sum = 0;
  for (const i of indices) {
    const [inA, inB] = [a.touches[i] === 1, b.touches[i] === 1];
    if (inA && inB) continue;
    sum += inA ? a.best[i]! : inB ? b.best[i]! : sound[i]!;
  }
  return sum;
}

/**
 * True where a dead reading may show two faults otherwise than each by itself. With the cord away nothing but a fault joins
 * two conductors, so they must share one; the supply is away too, and the cord is read alone.
 */
function meetDead(a: Fault, b: Fault): boolean {
  if (a.where === 'supply' || b.where === 'supply') return false;
  if ((a.where === 'cord') !== (b.where === 'cord')) return false;
  return (conductorsOf(a) & conductorsOf(b)) !== 0;
}

/** Two of these on one conductor only add up. */
function isInSeries(fault: Fault): boolean {
  return fault.fault === 'open' || fault.fault === 'high-resistance' || fault.fault === 'face-open';
}

const bit: Readonly<Record<Conductor, number>> = { hot: 1, neutral: 2, ground: 4 };

/** The conductors that a fault touches, a bit for each. */
function conductorsOf(fault: Fault): number {
  if ('conductors' in fault) return bit[fault.conductors[0]] | bit[fault.conductors[1]];
  if ('conductor' in fault) return bit[fault.conductor];
  return fault.where === 'bond' ? bit.ground : bit.hot | bit.neutral;
}
