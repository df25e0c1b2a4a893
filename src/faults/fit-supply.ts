import type { Reading } from '../meter/readings-file.js';
import { supplyRange } from '../meter/supply-as-met.js';
import { readingLimits } from '../trade/reading-limits.js';

/** One reading of volts without a load: what it shows, what it may err, what it should show on either supply, V. */
interface SlotVolts {
  readonly shown: number;
  readonly error: number;
  readonly stiff: number;
  readonly weak: number;
  readonly lift: 1 | 0 | -1;
}

/** How far a supply's volts (a share) and its lift (V) usually are from the nominal: what pulls where the readings leave them open. */
const usualOff = 0.05;
const usualLift = 1;
/** A reading further off than so many errors is another fault's and pulls less. */
const mostAway = 2;
const rounds = 5;

/**
 * What the readings should show on the supply that explains them best, where a path draws amps: how weak it is, its volts, what its
 * neutral stands over its ground and its ground over true earth are its own and no fault. `stiff` and `weak` are the predictions on
 * the two ends, `share` is its share of the nominal volts.
 */
export function onFittedSupply(
  readings: readonly Reading[],
  errors: Float64Array,
  stiff: Float64Array,
  weak: Float64Array,
): { values: Float64Array; share: number } {
  const most = readingLimits.chassisToEarthUnplug.value;
  const { weakness, share, liftVolts } = fitSupply(
    readings.flatMap((r, i) => {
      const both = { stiff: stiff[i]!, weak: weak[i]! };
      if (r.test !== 'voltage' || !Object.values(both).every(Number.isFinite)) return [];
      const error = errors[i]! + (isToEarth(r) ? most : 0);
      return [{ ...both, shown: r.volts, error, lift: liftOf(r) }];
    }),
  );
  const values = stiff.map((v, i) => {
    const r = readings[i]!;
    if (v === weak[i] || !('volts' in r)) return v;
    const volts = share * (v + weakness * (weak[i]! - v));
    return volts + (isToEarth(r) ? clamp(r.volts - volts, -most, most) : liftVolts * liftOf(r));
  });
  return { values, share };
}

/** Least squares of three unknowns, with what lies far off counted less. */
function fitSupply(readings: readonly SlotVolts[]): { weakness: number; share: number; liftVolts: number } {
  let [stiff, weak, lift] = [0.6, 0.4, 0];
  for (let round = 0; round < rounds; round++) {
    const sums = new Sums();
    // The nominal volts and no lift at all, as one reading each.
    sums.add([1, 1, 0, 1], 1 / usualOff);
    sums.add([0, 0, 1, 0], 1 / usualLift);
    for (const r of readings) {
      const away = (r.shown - stiff * r.stiff - weak * r.weak - lift * r.lift) / (mostAway * r.error);
      const pull = round === 0 ? 1 : 1 / Math.sqrt(1 + away * away);
      sums.add([r.stiff, r.weak, r.lift, r.shown], pull / r.error);
    }
    [stiff, weak, lift] = sums.solve();
  }
  const most = readingLimits.neutralGroundLook.value;
  return {
    weakness: clamp(weak / (stiff + weak), 0, 1),
    share: clamp(stiff + weak, supplyRange.least, supplyRange.most),
    liftVolts: clamp(lift, -most, most),
  };
}

/** Normal equations of three unknowns. */
class Sums {
  readonly #rows = [0, 1, 2].map((i) => [0, 1, 2, 3].map((j) => (i === j ? 1e-9 : 0)));

  /** One equation: the factors of the three, and their sum. */
  add(equation: readonly [number, number, number, number], weight: number): void {
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 4; j++) this.#rows[i]![j]! += weight * weight * equation[i]! * equation[j]!;
  }

  solve(): [number, number, number] {
    const rows = this.#rows;
    for (let k = 0; k < 3; k++)
      for (let i = 0; i < 3; i++) {
        const share = i === k ? 0 : rows[i]![k]! / rows[k]![k]!;
        for (let j = k; j < 4; j++) rows[i]![j]! -= share * rows[k]![j]!;
      }
    const [a, b, c] = rows.map((row, k) => row[3]! / row[k]!);
    return [a!, b!, c!];
  }
}

const isToEarth = ({ from, to }: { from: string; to: string }) => from === 'earth' || to === 'earth';

/** How a lift of neutral over ground counts between two slots of one place: it adds to the one and takes from hot to neutral. */
function liftOf({ from, to }: { from: string; to: string }): 1 | 0 | -1 {
  const is = (conductor: string) => [from, to].some((p) => p.endsWith(`.${conductor}`));
  if (!is('neutral')) return 0;
  return is('hot') ? -1 : 1;
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(Math.max(value, least), most);
}
