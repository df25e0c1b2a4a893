import { type ElectricalCircuit, firstGroundFaultDevice } from '../meter/electrical-circuit.js';
import type { Meter } from '../meter/meter.js';
import type { Reading, Test } from '../meter/readings-file.js';
import { uncertainty } from '../meter/uncertainty.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { Measured } from './taken.js';

/** What supplies and devices as one meets them do to readings of a sound van. */

/** A supply may be off its nominal volts by so much, and is clearly off by so much. */
const mostShare = 0.13;
const clearShare = 0.011;

/**
 * The supply's volts as the unloaded slots show them, as a share of the nominal: the median of all that lie near it, where it
 * is further off than a meter's usual error.
 */
export function supplyShare(readings: readonly Reading[], nominal: number): number {
  const shares = readings
    .flatMap((r) => (r.test === 'voltage' ? [r.volts / nominal] : []))
    .filter((share) => Math.abs(share - 1) < mostShare)
    .sort((a, b) => a - b);
  const median = ((shares[(shares.length - 1) >> 1] ?? 1) + (shares[shares.length >> 1] ?? 1)) / 2;
  return shares.length < 2 || Math.abs(median - 1) < clearShare ? 1 : median;
}

/** The most that a supply of these nominal volts may have, V. */
export function mostVolts({ supply }: ElectricalCircuit): number {
  return (readingLimits.supplyHigh.value / nominalVolts) * supply.volts;
}

/** More for certain than any supply of these nominal volts may have: nothing that floats shows so much either. */
export function isOverVolts(circuit: ElectricalCircuit, { value, uncertainty: u }: Measured): boolean {
  return (value ?? 0) - u > mostVolts(circuit);
}

/** The volts for which the limits of a supply are given. */
export const nominalVolts = 120;

/**
 * What else runs on a supply, and the ground that it stands on, lift neutral over ground and ground over true earth by a volt or
 * two, and take as much from hot to neutral: the most that the live readings clearly show of it, V, and no more than their rule lets
 * pass. A slot counts where its hot
 * to neutral stands; what floats beside a lost neutral is no lift.
 */
export function groundRise(readings: readonly Reading[], nominal: number, meter: Meter): number {
  const volts = readings.flatMap((r) => (r.test === 'voltage' ? [r] : []));
  const isBetween = (r: { from: string; to: string }, a: string, b: string) =>
    (r.from === a && r.to === b) || (r.from === b && r.to === a);
  const stands = (at: string) =>
    volts.some(
      (r) =>
        isBetween(r, `${at}.hot`, `${at}.neutral`) &&
        r.volts >= readingLimits.slotShareOfSupply.value * nominal,
    );
  const most = Math.min(readingLimits.neutralGround.value, readingLimits.chassisToEarthUnplug.value);
  const lifts = volts.flatMap((r) => {
    const at = r.from.split('.')[0]!;
    const counts =
      isBetween(r, 'chassis', 'earth') || (isBetween(r, `${at}.neutral`, `${at}.ground`) && stands(at));
    return counts && r.volts <= most
      ? [r.volts - uncertainty(meter, { test: 'voltage', value: r.volts })]
      : [];
  });
  return Math.max(0, ...lifts);
}

/** A reading of volts that a lift of the ground changes. */
export function touchesGround(r: Reading): boolean {
  if (r.test !== 'voltage' && r.test !== 'loaded-voltage') return false;
  return [r.from, r.to].some((p) => p === 'earth' || p === 'chassis' || p.endsWith('.ground'));
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
