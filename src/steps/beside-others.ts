import { numberText } from '../circuit/quantity-text.js';
import type { InstrumentSnapshot } from '../logbook/entry.js';
import { uncertainty } from '../meter/uncertainty.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { ReadingStanding } from './assessment.js';
import { meterOf } from './meter-of.js';
import type { PlannedReading } from './step.js';

/** A reading beside which another is judged; undefined where this circuit does not call for it. */
type Other = ReadingStanding | undefined;

/** Volts that were shown, with what a sound circuit shows. */
interface Shown {
  readonly code: string;
  readonly volts: number;
  readonly expected: number;
  readonly instrument: InstrumentSnapshot | undefined;
}

/** The readings that a reading is judged beside, by their ids. */
export function besideIds({ id, outlet }: PlannedReading): readonly string[] {
  if (outlet !== undefined && id === `loaded.hot-neutral.${outlet}`)
    return [`voltage.hot-neutral.${outlet}`, 'loaded.supply', 'supply.hot-neutral'];
  if (id.startsWith('trim-on.')) return [id.slice('trim-on.'.length)];
  if (id === 'supply.hot-ground') return ['supply.hot-neutral'];
  const pair = /^cord-end\.(hot-.+)$/.exec(id)?.[1];
  return pair === undefined ? [] : [`supply.${pair}`];
}

/**
 * What a reading says beside the others that stand, of which it asks for those of `besideIds` alone: a drop beside the same slot’s
 * own volts without load, a cord’s end beside its supply, a ground with the trim on beside what it was before.
 */
export function besideOthers(reading: ReadingStanding, of: (id: string) => Other): ReadingStanding {
  const [first, ...more] = besideIds(reading.planned).map(of);
  const { id } = reading.planned;
  if (first === undefined || (reading.verdict !== 'pass' && reading.verdict !== 'unproven')) return reading;
  if (id.startsWith('loaded.')) return besideNoLoad(reading, first, more);
  if (id.startsWith('trim-on.')) return besideBefore(reading, first);
  const { hotGroundAgainstNeutralLook, cordEndAgainstSupplyLook } = readingLimits;
  return besideSame(
    reading,
    first,
    id === 'supply.hot-ground' ? hotGroundAgainstNeutralLook.value : cordEndAgainstSupplyLook.value,
  );
}

/** Two readings that should show nearly the same volts. */
function besideSame(reading: ReadingStanding, other: ReadingStanding, look: number): ReadingStanding {
  const [own, beside] = [voltsOf(reading), voltsOf(other)];
  if (own === undefined || beside === undefined) return reading;
  const apart = Math.abs(own.volts - beside.volts);
  if (apart - errorBetween(own, beside) <= look) return reading;
  const text = `${numberText(apart, 1)} V from ${beside.code}, which showed ${beside.volts} V: no more than ${look} V is usual. Look for a ghost, a poor joint or a sagging supply.`;
  return withRemark(reading, text);
}

/** With the trim on a ground that was through is through still; what the last screws did to it shows as a difference. */
function besideBefore(reading: ReadingStanding, before: ReadingStanding): ReadingStanding {
  const [now, then] = [reading.taken?.body, before.taken?.body];
  if (now?.shown.kind !== 'ohms' || then?.shown.kind !== 'ohms') return reading;
  const [a, b] = [now.shown.ohms, then.shown.ohms];
  const [meterA, meterB] = [meterOf(now.instrument), meterOf(then.instrument)];
  if (a === null || b === null || meterA === undefined || meterB === undefined) return reading;
  const { upper } = reading.planned.limit ?? {};
  const error =
    uncertainty(meterA, { test: 'resistance', value: a }) +
    uncertainty(meterB, { test: 'resistance', value: b });
  const most = readingLimits.trimOnChange.value;
  if (upper === undefined || a - b - error <= most) return reading;
  const text = `${before.planned.code} showed ${numberText(b)} Ω before the trim was on: no more than ${most} Ω above it is usual. Look at what the last screws and folds did.`;
  return withRemark(reading, text);
}

/**
 * The limit under load counts from 120 V; a supply that stands higher would hide a joint under it. So the drop is also taken from
 * what the same slot showed without load: where it is beyond the predicted by more than is to be mended, the pass is no proof.
 * Where the supply was read with the same load, its own drop is left out. @source arithmetic; no standard
 */
function besideNoLoad(
  reading: ReadingStanding,
  slot: ReadingStanding,
  [loadedSupply, unloadedSupply]: readonly Other[],
): ReadingStanding {
  const van = drop(reading, slot);
  if (van === undefined) return reading;
  const supply = drop(loadedSupply, unloadedSupply);
  const beyondOhm = van.beyondOhm - Math.max(0, supply?.beyondOhm ?? 0);
  const least = beyondOhm - van.errorOhm - (supply?.errorOhm ?? 0);
  if (least <= readingLimits.unexplainedLook.value) return reading;
  const mend = least > readingLimits.unexplainedMend.value;
  const told = `${van.code} showed ${van.unloaded} V without load, so ${van.amps} A take ${numberText(van.volts, 1)} V here; this circuit predicts ${numberText(van.predicted, 1)} V.`;
  const todo = mend
    ? `Read both again, one right after the other. If it stays, find the warm joint and mend it${supply ? '' : '; hot to neutral at the supply with the same load on (LS) tells whether it is there'}.`
    : 'Look for the warm joint.';
  return { ...withRemark(reading, `${told} ${todo}`), verdict: mend ? 'unproven' : reading.verdict };
}

function withRemark(reading: ReadingStanding, text: string): ReadingStanding {
  return { ...reading, remarks: [...reading.remarks, text] };
}

function drop(loaded: Other, slot: Other) {
  const [on, off] = [voltsOf(loaded), voltsOf(slot)];
  const shown = loaded?.taken?.body.shown;
  const { amps: planned } = loaded?.planned ?? {};
  if (on === undefined || off === undefined || shown?.kind !== 'loaded-volts' || planned === undefined)
    return undefined;
  const { amps } = shown;
  const volts = off.volts - on.volts;
  const predicted = ((off.expected - on.expected) / planned) * amps;
  return {
    code: off.code,
    amps,
    unloaded: off.volts,
    volts,
    predicted,
    beyondOhm: (volts - predicted) / amps,
    errorOhm: errorBetween(on, off) / amps,
  };
}

function voltsOf(standing: Other): Shown | undefined {
  const body = standing?.taken?.body;
  if (standing === undefined || body === undefined || !('volts' in body.shown)) return undefined;
  const { value } = standing.planned.expected;
  if (typeof value !== 'number') return undefined;
  const { planned } = standing;
  return { code: planned.code, volts: body.shown.volts, expected: value, instrument: body.instrument };
}

/** How far the difference of two readings may be off, V: one meter errs alike in both, but for its counts; two meters each err alone. */
function errorBetween(a: Shown, b: Shown): number {
  const [meterA, meterB] = [meterOf(a.instrument), meterOf(b.instrument)];
  if (meterA === undefined || meterB === undefined) return Number.POSITIVE_INFINITY;
  const at = (meter: typeof meterA, value: number) => uncertainty(meter, { test: 'voltage', value });
  if (a.instrument?.id !== b.instrument?.id) return at(meterA, a.volts) + at(meterB, b.volts);
  return at(meterA, Math.abs(a.volts - b.volts)) + at(meterA, 0);
}
