import { type ElectricalCircuit, firstGroundFaultDevice } from '../meter/electrical-circuit.js';
import type { Meter } from '../meter/meter.js';
import { placeOf } from '../meter/point.js';
import type { Reading, Test } from '../meter/readings-file.js';
import { nominalVolts } from '../meter/supply-as-met.js';
import { readingLimits } from '../trade/reading-limits.js';
import { type Measured, Taken } from './taken.js';

/** What supplies and devices as one meets them do to readings of a sound van. */

/** A supply may be off its nominal volts by so much, and is clearly off by so much. */
const mostShare = 0.13;
const clearShare = 0.011;

/** The supply's volts as the unloaded slots show them, as a share of the nominal. */
export function supplyShare(readings: readonly Reading[], nominal: number): number {
  return clearShareOf(readings.flatMap((r) => (r.test === 'voltage' ? [r.volts / nominal] : [])));
}

/** What volts show as shares of what they should: the median of all that lie near it, 1 where it is no further off than a meter's usual error. */
export function clearShareOf(all: readonly number[], fewest = 2): number {
  const shares = all.filter((share) => Math.abs(share - 1) < mostShare).sort((a, b) => a - b);
  const median = ((shares[(shares.length - 1) >> 1] ?? 1) + (shares[shares.length >> 1] ?? 1)) / 2;
  return shares.length < fewest || Math.abs(median - 1) < clearShare ? 1 : median;
}

/** Mostly a supply is off its nominal volts by this share; one in twenty is off by anything. */
const usualShare = 0.03;
const seldomOff = Math.log(1 / 20);

/** Logarithm of what it costs to explain readings by a supply at this share of its nominal volts. */
export function costOfShare(share: number): number {
  return Math.max(-0.5 * ((share - 1) / usualShare) ** 2, seldomOff);
}

/** The most that a supply of these nominal volts may have, V. */
export function mostVolts({ supply }: ElectricalCircuit): number {
  return (readingLimits.supplyHigh.value / nominalVolts) * supply.volts;
}

/** More for certain than any supply of these nominal volts may have: nothing that floats shows so much either. */
export function isOverVolts(circuit: ElectricalCircuit, { value, uncertainty: u }: Measured): boolean {
  return (value ?? 0) - u > mostVolts(circuit);
}

/** Whether any of what was read at the mains is more than such a supply may have. */
export function showsOverVolts(circuit: ElectricalCircuit, taken: Taken): boolean {
  return taken.allVolts().some((m) => isOverVolts(circuit, m));
}

/**
 * What else runs on a supply, and the ground that it stands on, lift neutral over ground and ground over true earth by a volt or
 * two, and take as much from hot to neutral: the most that the live readings clearly show of it, V, and no more than their rule lets
 * pass. Where wires are exchanged the lift is between two other slots. It counts where the slots beside it stand; what floats
 * beside a lost neutral is no lift.
 */
export function groundRise(readings: readonly Reading[], nominal: number, meter: Meter): number {
  const taken = new Taken(readings, meter);
  const between = (a: string, b: string) =>
    taken.volts(a, b).map((m) => ({ volts: m.value ?? 0, uncertainty: m.uncertainty }));
  const least = readingLimits.slotShareOfSupply.value * supplyShare(readings, nominal) * nominal;
  const stands = (a: string, b: string) => between(a, b).some(({ volts }) => volts >= least);
  const places = new Set(readings.flatMap((r) => (r.test === 'voltage' ? [placeOf(r.from)] : [])));
  const most = Math.min(readingLimits.neutralGround.value, readingLimits.chassisToEarthUnplug.value);
  const atSlots = (at: string) => {
    const [hot, neutral, ground] = [`${at}.hot`, `${at}.neutral`, `${at}.ground`] as const;
    const [hotNeutral, hotGround, neutralGround] = [
      stands(hot, neutral),
      stands(hot, ground),
      stands(neutral, ground),
    ];
    return [
      ...(hotNeutral ? between(neutral, ground) : []),
      ...(hotNeutral && neutralGround ? between(hot, ground) : []),
      ...(hotGround && neutralGround ? between(hot, neutral) : []),
    ];
  };
  const lifts = [...between('chassis', 'earth'), ...[...places].flatMap(atSlots)].filter(
    ({ volts }) => volts <= most,
  );
  return Math.max(0, ...lifts.map(({ volts, uncertainty }) => volts - uncertainty));
}

/**
 * What one live reading may show too much or too little by itself, V, where no other reading tells it: a volt or two at a place
 * where nothing carries the supply's volts may be the lift beside a lost hot; and the supply's volts against true earth are read with
 * the ground that the supply stands on.
 */
export function riseOf(r: Reading, { supply }: ElectricalCircuit, all: readonly Reading[]): number {
  if (r.test !== 'voltage') return 0;
  const half = supply.volts / 2;
  const [from, to] = [placeOf(r.from), placeOf(r.to)];
  if (from === 'earth' || to === 'earth') return r.volts > half ? readingLimits.chassisToEarthLook.value : 0;
  if (from !== to || r.volts > readingLimits.neutralGroundLook.value) return 0;
  const fed = all.some((o) => o.test === 'voltage' && placeOf(o.from) === from && o.volts > half);
  return fed ? 0 : r.volts;
}

/** Whether one of the two probes is on a ground, on the chassis or on true earth. */
export function touchesGround({ from, to }: { readonly from: string; readonly to: string }): boolean {
  return [from, to].some((p) => p === 'earth' || p === 'chassis' || p.endsWith('.ground'));
}

/**
 * Between hot and neutral ahead of a ground-fault device, where its electronics lie across LINE: they read some kΩ to MΩ, otherwise
 * with the probes exchanged, and differ by make. @source common practice, no source
 */
export function isAcrossElectronics(circuit: ElectricalCircuit, test: Test): boolean {
  const device = firstGroundFaultDevice(circuit);
  if (device === 0 || test.test !== 'resistance') return false;
  const pole = (p: string) => (/^inlet\.|\.line\./.test(p) ? p.split('.').at(-1) : '');
  return [pole(test.from), pole(test.to)].sort().join() === 'hot,neutral';
}

/** Ohms that such electronics may show: no join of two wires for certain, and not over-limit. */
export function mayBeElectronics(circuit: ElectricalCircuit, r: Reading): boolean {
  if (r.test !== 'resistance' || r.ohms === null || !isAcrossElectronics(circuit, r)) return false;
  return r.ohms >= readingLimits.isolationWithElectronics.value;
}
