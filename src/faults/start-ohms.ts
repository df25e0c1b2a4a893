import { type Fault, faultOfOhms, joinedOhm } from '../meter/fault.js';
import { leastPoorJointOhm } from './catalogue.js';
import type { Evidence } from './evidence.js';

/** Ohms to begin a fit with, one for each fault that is to be fitted, and how far the dead readings let each move. */
export interface Start {
  readonly ohms: readonly number[];
  readonly spread: readonly number[];
}

/** Between these a path or a joint is looked for, Ω. */
const leastJoinOhm = 0.01;
const mostOhm = 1e9;
/** A path of more than this changes nothing live. */
const idleJoinOhm = 1e6;
/** Where no dead reading says anything. */
const blindJoins = [joinedOhm, 20, 2000];
const blindJoints = [0.3, 1.5];

/**
 * Where to begin with the ohms of the given faults (by their index): what each numeric dead reading would make of them, the
 * readings that agree taken together. Of two, each is read first as if the other did nothing, then the other beside it.
 */
export function startOhms(evidence: Evidence, faults: readonly Fault[], free: readonly number[]): Start[] {
  if (free.length === 1) {
    return said(evidence, faults, free[0]!, 2).map((s) => ({ ohms: [s.ohm], spread: [s.spread] }));
  }
  const [first, second] = [free[0]!, free[1]!];
  const found: Start[] = [];
  for (const [a, b] of [
    [first, second],
    [second, first],
  ] as const) {
    for (const x of said(evidence, withOhm(faults, b, idleOhm(faults[b]!)), a, 3)) {
      for (const y of said(evidence, withOhm(faults, a, x.ohm), b, 2)) {
        const start = { ohms: [x.ohm, y.ohm], spread: [x.spread, y.spread] };
        found.push(
          a === first ? start : { ohms: [...start.ohms].reverse(), spread: [...start.spread].reverse() },
        );
      }
    }
  }
  return found.filter((s, i) => !found.slice(0, i).some((t) => isNear(s, t)));
}

/** The fault with its ohms brought within what is looked for. */
export function withOhm(faults: readonly Fault[], index: number, ohms: number): Fault[] {
  return faults.map((f, i) =>
    i === index ? faultOfOhms(f, Math.min(Math.max(ohms, leastOhm(f)), mostOhm)) : f,
  );
}

/** The fewest ohms that a path or a joint is looked for with. */
export function leastOhm(fault: Fault): number {
  return fault.fault === 'joined' ? leastJoinOhm : leastPoorJointOhm;
}

/**
 * The faults with every path and joint at its fewest ohms, or at the most that could still show: no dead reading lies outside
 * the two.
 */
export function atBounds(evidence: Evidence, faults: readonly Fault[], bound: 'least' | 'most'): Fault[] {
  const mostJoinOhm = Math.max(idleJoinOhm, 0.9 * evidence.bench.meter.ohms.overLimit);
  const most = (f: Fault) => (f.fault === 'joined' ? mostJoinOhm : mostOhm);
  return faults.map((f) => faultOfOhms(f, bound === 'least' ? leastOhm(f) : most(f)));
}

interface Said {
  readonly ohm: number;
  readonly spread: number;
}

/** What the dead readings say of one fault's ohms, the value with most readings behind it first. */
function said(evidence: Evidence, faults: readonly Fault[], free: number, most: number): Said[] {
  const [low, high] = [1, 2];
  const n = evidence.readings.length;
  const atLow = new Float64Array(n);
  const atHigh = new Float64Array(n);
  evidence.bench.showDead(withOhm(faults, free, low), atLow);
  evidence.bench.showDead(withOhm(faults, free, high), atHigh);
  const each: Said[] = [];
  for (const i of evidence.dead) {
    const shown = evidence.shown(i);
    if (!Number.isFinite(shown) || !Number.isFinite(atLow[i]!)) continue;
    const slope = (atHigh[i]! - atLow[i]!) / (high - low);
    if (!(slope > 0.05)) continue;
    each.push({ ohm: low + (shown - atLow[i]!) / slope, spread: evidence.error(i) / slope });
  }
  const agreed = clusters(each).slice(0, most);
  const blind = (faults[free]!.fault === 'joined' ? blindJoins : blindJoints).map((ohm) => ({
    ohm,
    spread: 0,
  }));
  if (agreed.length === 0) return blind;
  // A joint that reads well at rest is told of by a load alone: from ohms that no dead reading would show.
  const rested = faults[free]!.fault === 'high-resistance' && evidence.hasLoad;
  return rested ? [...agreed.slice(0, most - 1), ...blind.slice(-1)] : agreed;
}

/** Values that agree within their errors, each cluster as its weighted mean and its most exact reading's error. */
function clusters(values: readonly Said[]): Said[] {
  const left = [...values].sort((a, b) => a.ohm - b.ohm);
  const found: (Said & { count: number })[] = [];
  while (left.length > 0) {
    const first = left[0]!;
    const together = left.filter((s) => s.ohm - first.ohm <= 1.5 * (s.spread + first.spread));
    left.splice(0, together.length);
    const weight = together.reduce((sum, s) => sum + 1 / s.spread ** 2, 0);
    const ohm = together.reduce((sum, s) => sum + s.ohm / s.spread ** 2, 0) / weight;
    found.push({ ohm, spread: Math.min(...together.map((s) => s.spread)), count: together.length });
  }
  return found.sort((a, b) => b.count - a.count);
}

/** Ohms at which a fault does as good as nothing. */
function idleOhm(fault: Fault): number {
  return fault.fault === 'joined' ? mostOhm : leastOhm(fault);
}

function isNear(a: Start, b: Start): boolean {
  return a.ohms.every((ohm, i) => Math.abs(ohm - b.ohms[i]!) <= 0.02 * Math.abs(b.ohms[i]!) + 0.01);
}
