import { numberText } from '../circuit/quantity-text.js';
import type { InstrumentSnapshot } from '../logbook/entry.js';
import { uncertainty } from '../meter/uncertainty.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { ReadingStanding } from './assessment.js';
import { meterOf } from './meter-of.js';

type Of = (id: string) => ReadingStanding | undefined;

/** Volts that were shown, with what a sound circuit shows. */
interface Shown {
  readonly code: string;
  readonly volts: number;
  readonly expected: number;
  readonly instrument: InstrumentSnapshot | undefined;
}

/**
 * What a reading says beside the others that stand: a drop beside the same slot’s own volts without load, a cord’s end beside its
 * supply, a ground with the trim on beside what it was before.
 */
export function besideOthers(reading: ReadingStanding, of: Of): ReadingStanding {
  const { id, outlet } = reading.planned;
  if (reading.verdict !== 'pass' && reading.verdict !== 'unproven') return reading;
  if (outlet !== undefined && id === `loaded.hot-neutral.${outlet}`)
    return besideNoLoad(reading, of(`voltage.hot-neutral.${outlet}`), of);
  if (id.startsWith('trim-on.')) return besideBefore(reading, of(id.slice('trim-on.'.length)));
  const [other, look] = compared(id);
  if (other === undefined || look === undefined) return reading;
  const [own, beside] = [voltsOf(reading), voltsOf(of(other))];
  if (own === undefined || beside === undefined) return reading;
  const apart = Math.abs(own.volts - beside.volts);
  if (apart - errorBetween(own, beside) <= look.value) return reading;
  const text = `${numberText(apart, 1)} V from ${beside.code}, which showed ${beside.volts} V: no more than ${look.value} V is usual. Look for a ghost, a poor joint or a sagging supply.`;
  return withRemark(reading, text);
}

function compared(id: string): readonly [string?, { readonly value: number }?] {
  if (id === 'supply.hot-ground') return ['supply.hot-neutral', readingLimits.hotGroundAgainstNeutralLook];
  const pair = /^cord-end\.(hot-.+)$/.exec(id)?.[1];
  return pair === undefined ? [] : [`supply.${pair}`, readingLimits.cordEndAgainstSupplyLook];
}

/** With the trim on a ground that was through is through still; what the last screws did to it shows as a difference. */
function besideBefore(reading: ReadingStanding, before: ReadingStanding | undefined): ReadingStanding {
  const [now, then] = [reading.taken?.body, before?.taken?.body];
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
  const text = `${before?.planned.code} showed ${numberText(b)} Ω before the trim was on: no more than ${most} Ω above it is usual. Look at what the last screws and folds did.`;
  return withRemark(reading, text);
}

/**
 * The limit under load counts from 120 V; a supply that stands higher would hide a joint under it. So the drop is also taken from
 * what the same slot showed without load: where it is beyond the predicted by more than is to be mended, the pass is no proof.
 * Where the supply was read with the same load, its own drop is left out. @source arithmetic; no standard
 */
function besideNoLoad(reading: ReadingStanding, slot: ReadingStanding | undefined, of: Of): ReadingStanding {
  const van = drop(reading, slot);
  if (van === undefined) return reading;
  const supply = drop(of('loaded.supply'), of('supply.hot-neutral'));
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

function drop(loaded: ReadingStanding | undefined, slot: ReadingStanding | undefined) {
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

function voltsOf(standing: ReadingStanding | undefined): Shown | undefined {
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
