import { numberText } from '../circuit/quantity-text.js';
import { carriesNone, loadOff, takesNoLoad } from '../faults/joint.js';
import type { EntryBody, InstrumentSnapshot } from '../logbook/entry.js';
import { judgeAgainstLimit, type LimitVerdict } from '../meter/judge.js';
import { nominalVolts } from '../meter/supply-as-met.js';
import { uncertainty, uncertaintyOfDifference } from '../meter/uncertainty.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { ReadingStanding } from './assessment.js';
import { meterOf } from './meter-of.js';
import type { PlannedReading } from './step.js';

/** A reading as it was judged alone. */
type JudgedAlone = Pick<ReadingStanding, 'planned' | 'verdict' | 'remarks' | 'toProve'> & {
  readonly taken?: { readonly body: EntryBody<'reading taken'> };
};

type Of = (id: string) => JudgedAlone | undefined;

/** Volts that a meter of known error showed, with what a sound circuit shows. */
interface Shown {
  readonly code: string;
  readonly volts: number;
  readonly expected: number;
  readonly instrument: InstrumentSnapshot;
  /** How far the meter may be off there, V. */
  readonly error: number;
}

/** The readings that a reading is judged beside, by their ids. */
export function besideIds({ beside }: PlannedReading): readonly string[] {
  switch (beside?.law) {
    case 'one-supply':
      return [beside.match, beside.supply];
    case 'no-load':
    case 'neutral-drop':
      return [beside.slot, beside.loadedSupply, beside.supply];
    case 'as-before':
      return [beside.before];
    case undefined:
      return [];
  }
}

/**
 * What a reading says beside the others that stand, of which it asks for those of `besideIds` alone: a drop beside the same slot’s
 * own volts without load, slots and a cord’s end beside their supply, a ground with the trim on beside what it was before.
 */
export function besideOthers<R extends JudgedAlone>(reading: R, of: Of): R {
  const judged = judgedBeside(reading, of);
  // What would prove it is not said of what fails beside another: one page would say both.
  return judged.verdict === 'fail' && reading.verdict === 'unproven'
    ? { ...judged, remarks: judged.remarks.filter((text) => text !== reading.toProve) }
    : judged;
}

function judgedBeside<R extends JudgedAlone>(reading: R, of: Of): R {
  const { beside } = reading.planned;
  if (beside === undefined || reading.taken === undefined) return reading;
  if (beside.law === 'no-load')
    return besideNoLoad(reading, of(beside.slot), drop(of(beside.loadedSupply), of(beside.supply)), of);
  if (beside.law === 'neutral-drop' && isHeldDown(reading, of(beside.slot)))
    return heldDown(reading, of(beside.slot)!);
  if (reading.verdict !== 'pass' && reading.verdict !== 'unproven') return reading;
  if (beside.law === 'neutral-drop')
    return besideIdle(reading, of(beside.slot), drop(of(beside.loadedSupply), of(beside.supply)));
  if (beside.law === 'as-before') return besideBefore(reading, of(beside.before));
  return besideMeasured(besideAlike(reading, of(beside.match), beside.look), of(beside.supply));
}

/**
 * A slot's hot is right from 0.9 of the supply's volts on: of what the supply showed, where that stands, for a supply may be
 * anywhere in its band; else of the nominal ones.
 */
function besideMeasured<R extends JudgedAlone>(reading: R, supply: JudgedAlone | undefined): R {
  const [own, at] = [voltsOf(reading), supply?.verdict === 'pass' ? voltsOf(supply) : undefined];
  if (own === undefined) return reading;
  const share = readingLimits.slotShareOfSupply.value;
  const lower = share * (at?.volts ?? own.expected);
  const verdict = judgeAgainstLimit({ value: own.volts, uncertainty: own.error, lower });
  if (verdict === 'pass') return reading;
  const text = `No less than ${numberText(lower, 1)} V is right here: ${share} of ${at ? `the ${at.volts} V of ${at.code}` : 'the nominal volts'}.`;
  return { ...withRemark(reading, text), verdict };
}

/** Two readings of one supply that should show nearly the same volts without load: at its own slots, at the cord's end, in the van. */
function besideAlike<R extends JudgedAlone>(reading: R, other: JudgedAlone | undefined, look: number): R {
  const [own, beside] = [voltsOf(reading), voltsOf(other)];
  if (own === undefined || beside === undefined) return reading;
  const apart = Math.abs(own.volts - beside.volts);
  if (apart - errorBetween(own, beside) <= look) return reading;
  const text = `${numberText(apart, 1)} V from ${beside.code}, which showed ${beside.volts} V: no more than ${look} V is usual. Look for a ghost, a poor joint or a sagging supply.`;
  return withRemark(reading, text);
}

/** With the trim on a ground that was through is through still; what the last screws did to it shows as a difference. */
function besideBefore<R extends JudgedAlone>(reading: R, before: JudgedAlone | undefined): R {
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
 * What a load takes is counted from what the same slot shows without it: so a supply that stands high hides no joint, and one that
 * stands low is not laid to the van. What the supply itself loses beyond the assumed, where it was read with the same load, is left
 * out, and what it loses less is the van's. A pass whose drop speaks of a joint that is to be mended is no proof. @source arithmetic; no standard
 */
function besideNoLoad<R extends JudgedAlone>(
  reading: R,
  slot: JudgedAlone | undefined,
  supply: ReturnType<typeof drop>,
  of: Of,
): R {
  const van = drop(reading, slot);
  const proven = slot !== undefined && besideOthers(slot, of).verdict === 'pass';
  const judged = proven && van !== undefined ? reading : withoutProof(reading, 'hot to neutral');
  if (van === undefined) return judged;
  // A supply that loses less than was assumed hides as much of a joint; of what the van may lose in all it takes nothing.
  const beyondOhm = supply?.beyondOhm ?? 0;
  const supplyOhm = Math.max(0, beyondOhm);
  const errorOhm = van.errorOhm + (supply?.errorOhm ?? 0);
  const most = (readingLimits.drop.value / 100) * van.nominal;
  const lost = judgeAgainstLimit({
    value: van.volts - supplyOhm * van.amps,
    uncertainty: errorOhm * van.amps,
    upper: most,
  });
  if (carriesNone(van.unloaded - van.volts))
    return { ...withRemark(judged, nothingFlows), verdict: worse(judged.verdict, lost) };
  const least = van.beyondOhm - beyondOhm - errorOhm;
  const mend = least > readingLimits.unexplainedMend.value;
  const full = { ohm: van.volts / van.amps - supplyOhm, errorOhm };
  if (lost === 'pass' && least <= readingLimits.unexplainedLook.value)
    return van.isLow ? withRemark(judged, tooWeak) : atFullLoad(judged, van, full);
  const told = `${van.code} showed ${van.unloaded} V without load, so ${van.amps} A take ${numberText(van.volts, 1)} V here; this circuit predicts ${numberText(van.predicted, 1)} V.${supply ? ` Of that the supply itself loses ${numberText(supply.volts, 1)} V, where ${numberText(supply.predicted, 1)} V were assumed.` : ''}`;
  const todo =
    lost === 'fail' || mend
      ? `Read both again, one right after the other. If it stays, find the warm joint and mend it${supply ? '' : '; hot to neutral at the supply with the same load on (LS) tells whether it is there'}.`
      : lost === 'unproven'
        ? `The meter’s error reaches across ${numberText(most)} V: read both again, one right after the other, with a finer meter.`
        : 'Look for the warm joint.';
  const alone = mend && lost === 'pass' ? 'unproven' : lost;
  const off = takesNoLoad(least, van.amps);
  const joint = withRemark(
    judged,
    off ? `${loadOff(least + errorOhm, van.amps)} ${told}` : `${told} ${todo}`,
  );
  return {
    ...(lost === 'pass' ? atFullLoad(joint, van, full) : joint),
    verdict: worse(judged.verdict, alone),
  };
}

/**
 * What a load lifts neutral over ground by is the neutral's own drop. One that speaks of a joint to be mended is no proof, and one
 * that takes more than both conductors may together fails. What the supply loses beyond the assumed may all be its neutral's.
 * @source arithmetic; no standard
 */
function besideIdle<R extends JudgedAlone>(
  reading: R,
  slot: JudgedAlone | undefined,
  supply: ReturnType<typeof drop>,
): R {
  const own = drop(reading, slot);
  if (own === undefined) return withoutProof(reading, 'neutral to ground');
  const [lift, predicted] = [-own.volts, -own.predicted];
  const supplyOhm = Math.max(0, supply?.beyondOhm ?? 0);
  const errorOhm = own.errorOhm + (supply?.errorOhm ?? 0);
  const least = -own.beyondOhm - supplyOhm - errorOhm;
  const others = reading.remarks.filter((text) => text !== reading.planned.look?.text);
  // What stands there without the load is no joint's: its line was passed by both together.
  if (least <= readingLimits.unexplainedLook.value) return { ...reading, remarks: others };
  if (least <= readingLimits.unexplainedMend.value) return reading;
  const most = (readingLimits.drop.value / 100) * nominalVolts;
  const lost = lift - (supplyOhm + errorOhm) * own.amps;
  const told = `${own.code} showed ${own.unloaded} V without load, so ${own.amps} A lift the neutral by ${numberText(lift, 1)} V here; this circuit predicts ${numberText(predicted, 1)} V.`;
  const todo = `Find the warm silver screw and mend it${supply ? '' : '; hot to neutral at the supply with the same load on (LS) tells whether it is there'}.`;
  const off = takesNoLoad(least, own.amps);
  const text = off ? `${loadOff(least + errorOhm, own.amps)} ${told}` : `${told} ${todo}`;
  return {
    ...reading,
    remarks: [text, ...others],
    verdict: worse(reading.verdict, lost > most ? 'fail' : 'unproven'),
  };
}

/**
 * Too little of a neutral's drop, beside a slot that without load clearly shows volts between neutral and ground: other loads may hold
 * the supply's neutral the other way (another leg of its source does), and take from what this load lifts. A join close by leaves no
 * such volts. @source arithmetic; measured by ngspice (`tests/outside/against-ngspice-field`)
 */
function isHeldDown(reading: JudgedAlone, slot: JudgedAlone | undefined): boolean {
  const [own, idle] = [voltsOf(reading), voltsOf(slot)];
  const { limit, amps: planned } = reading.planned;
  const shown = reading.taken?.body.shown;
  if (own === undefined || idle === undefined || planned === undefined || shown?.kind !== 'loaded-volts')
    return false;
  const least = ((limit?.lower ?? 0) * shown.amps) / planned;
  const isShort = own.volts - own.error < least;
  return isShort && idle.volts > idle.error && own.volts + idle.volts + own.error + idle.error >= least;
}

function heldDown<R extends JudgedAlone>(reading: R, slot: JudgedAlone): R {
  const idle = voltsOf(slot)!;
  const text = `${idle.code} showed ${idle.volts} V without load: other loads on this supply may hold its neutral the other way, and take that from what this load lifts. So this proves nothing: read both again while nothing else runs on it.`;
  const others = reading.remarks.filter((t) => t !== reading.planned.whenFails && t !== reading.toProve);
  return { ...reading, verdict: 'unproven', remarks: [text, ...others] };
}

/** What the largest set that may run together would take, where that is certainly more than the sheet allows: said, no verdict. */
function atFullLoad<R extends JudgedAlone>(
  reading: R,
  { nominal }: { readonly nominal: number },
  loop: { readonly ohm: number; readonly errorOhm: number },
): R {
  const { fullAmps = 0 } = reading.planned;
  const lost = loop.ohm * fullAmps;
  const most = (readingLimits.drop.value / 100) * nominal;
  if (lost - loop.errorOhm * fullAmps <= most) return reading;
  const percent = numberText((100 * lost) / nominal, 1);
  const text = `With all that may run together, ${numberText(fullAmps, 1)} A, it would be ${numberText(lost, 1)} V, ${percent} %: more than ${readingLimits.drop.value} %. Let fewer loads run together, or use a shorter or thicker cord.`;
  return withRemark(reading, text);
}

/** A drop is counted from what the slot shows without load: where that is not proven, nor is the drop. */
function withoutProof<R extends JudgedAlone>(reading: R, pair: string): R {
  if (reading.verdict !== 'pass') return reading;
  const text = `The drop is counted from ${pair} here without load, which is not proven: read that first.`;
  return { ...withRemark(reading, text), verdict: 'unproven' };
}

function worse(a: ReadingStanding['verdict'], b: LimitVerdict): ReadingStanding['verdict'] {
  if (a === 'fail' || b === 'fail') return 'fail';
  return b === 'unproven' ? b : a;
}

const nothingFlows =
  'No volts stand here with the load on: the device, a breaker or a wire opened. Unplug at the supply before you look for it.';

const tooWeak =
  'The van takes no more than it may: this supply stands too low to prove it here. Use a stronger one.';

function withRemark<R extends JudgedAlone>(reading: R, text: string): R {
  return { ...reading, remarks: [...reading.remarks, text] };
}

/** What a load takes between two readings of one place, V and Ω; undefined where they do not tell. */
function drop(loaded: JudgedAlone | undefined, slot: JudgedAlone | undefined) {
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
    nominal: off.expected,
    isLow: on.volts - on.error < readingLimits.supplyLow.value,
  };
}

function voltsOf(standing: JudgedAlone | undefined): Shown | undefined {
  const body = standing?.taken?.body;
  if (standing === undefined || body === undefined || !('volts' in body.shown)) return undefined;
  const { value } = standing.planned.expected;
  if (typeof value !== 'number') return undefined;
  const { shown, instrument } = body;
  const meter = meterOf(instrument);
  if (instrument?.volts === undefined || meter === undefined) return undefined;
  const error = uncertainty(meter, { test: 'voltage', value: shown.volts });
  return { code: standing.planned.code, volts: shown.volts, expected: value, instrument, error };
}

/** How far the difference of two readings may be off, V: one meter errs alike in both, but for its counts; two meters each err alone. */
function errorBetween(a: Shown, b: Shown): number {
  const meter = meterOf(a.instrument);
  if (meter === undefined || a.instrument.id !== b.instrument.id) return a.error + b.error;
  return uncertaintyOfDifference(meter, 'voltage', a.volts, b.volts);
}
