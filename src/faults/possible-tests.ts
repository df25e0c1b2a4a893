import { conductors, type ElectricalCircuit, isGroundFaultDevice } from '../meter/electrical-circuit.js';
import { lowImpedanceOhm } from '../meter/meter.js';
import { placeOf } from '../meter/point.js';
import type { Test } from '../meter/readings-file.js';
import { fullSchedule, slotPairs, testLoadA } from '../meter/schedule.js';
import { isAcrossElectronics, mayBeElectronics, touchesGround } from './as-met.js';
import { actOf, type Taken } from './taken.js';

/** A reading that could be taken, and what it costs the fitter beside the others. */
interface PossibleTest {
  readonly test: Test;
  readonly effort: number;
}

/** What the round asks for is taken anyway: asked for early it costs so much less. */
const shareOfRound = 0.75;

/**
 * What could be read next: the round of readings, and beside it all that can be read at slots, pins, the cord's ends, the
 * supply's slots, and dead at a device's screws (or the `round` alone); less what was taken, and what makes no sense or harms
 * as things stand.
 */
export function possibleTests(
  circuit: ElectricalCircuit,
  taken: Taken,
  from: 'round' | 'any',
): PossibleTest[] {
  const amps = taken.loadAmps() ?? testLoadA;
  const round = fullSchedule(circuit).map((t) => ('amps' in t ? { ...t, amps } : t));
  const known = new Set(taken.readings.map(actOf));
  // What a device's electronics may show once, they show at every place ahead of it.
  const electronics = taken.readings.some((r) => mayBeElectronics(circuit, r));
  const all = from === 'round' ? round : [...round, ...deadTests(circuit), ...liveTests(circuit, amps)];
  return all.flatMap((test, i) => {
    const act = actOf(test);
    if (known.has(act) || !isSensible(test, taken)) return [];
    if (electronics && isAcrossElectronics(circuit, test)) return [];
    known.add(act);
    return [{ test, effort: effort(test) * (i < round.length ? shareOfRound : 1) }];
  });
}

/** What a reading costs the fitter, against one dead reading at slots and pins: dead before live, loads last. */
function effort(test: Test): number {
  if (test.test === 'resistance') return isBehindCover(test.from) || isBehindCover(test.to) ? 1.3 : 1;
  if (test.test === 'observation') return test.what === 'holds-under-load' ? 3 : 1.8;
  if (test.test === 'loaded-voltage') return test.to.endsWith('.ground') ? 3.3 : 3;
  const toEarth = test.from === 'earth' || test.to === 'earth';
  if (toEarth) return test.from === 'chassis' || test.to === 'chassis' ? 2 : 2.5;
  // Two places at once, live, want a long lead.
  return placeOf(test.from) === placeOf(test.to) ? 2 : 2.7;
}

/** Ohms: crosswise at each end of the cord, from inlet or LOAD screws to every outlet, and from slot to slot. */
function deadTests(circuit: ElectricalCircuit): Test[] {
  const ends = ['inlet', ...circuit.run.map((_, k) => `outlet${k + 1}`)];
  const devices = ends.filter((_, k) => isGroundFaultDevice(circuit, k));
  const screws = devices.flatMap((at) => [`${at}.line`, `${at}.load`]);
  const points = [...ends.flatMap((at) => conductors.map((c) => `${at}.${c}`)), ...screws.flatMap(twoPoles)];
  const tests = points.flatMap((from, i) => [...points.slice(i + 1), 'chassis'].map((to) => ohms(from, to)));
  const cord = conductors.flatMap((a) => conductors.map((b) => ohms(`plug.${a}`, `connector.${b}`)));
  return [...tests, ...cord];
}

/** Volts between slots, against the chassis and against true earth, with and without the test load; dead after TEST. */
function liveTests(circuit: ElectricalCircuit, amps: number): Test[] {
  const outlets = circuit.run.map((_, k) => `outlet${k + 1}`);
  const slots = outlets.flatMap((at) => conductors.map((c) => `${at}.${c}`));
  const supply = conductors.map((c) => `supply.${c}`);
  const toEarth = [...slots, ...supply].map((from) => volts(from, 'earth'));
  const toChassis = slots.map((from) => volts(from, 'chassis'));
  const atSupply = slotPairs.map(([a, b]) => volts(`supply.${a}`, `supply.${b}`));
  const between = slots.flatMap((from, i) => slots.slice(i + 1).map((to) => volts(from, to)));
  const loaded = outlets.flatMap((at): Test[] => [
    ...slotPairs.map(
      ([a, b]) => ({ test: 'loaded-voltage', from: `${at}.${a}`, to: `${at}.${b}`, amps }) as const,
    ),
    { test: 'observation', what: 'holds-under-load', at, amps },
  ]);
  const sag = { test: 'loaded-voltage', from: 'supply.hot', to: 'supply.neutral', amps } as const;
  return [...toEarth, ...atSupply, ...toChassis, ...between, ...loaded, sag];
}

/** Nothing live once the supply's breaker opened; no load on a device that fell; no low-impedance path from hot to ground. */
function isSensible(test: Test, taken: Taken): boolean {
  if (test.test === 'resistance') return true;
  if (taken.answers('supply-holds').includes(false)) return false;
  const fell = taken.answers('gfci-resets').includes(false);
  if (test.test === 'observation') {
    if (test.what === 'supply-holds' || test.what === 'gfci-resets') return true;
    return !fell;
  }
  if (test.test === 'loaded-voltage' && (fell || taken.answers('holds-under-load').includes(false)))
    return false;
  return !(touchesGround(test) && taken.meter.inputOhms < lowImpedanceOhm);
}

function twoPoles(at: string): string[] {
  return [`${at}.hot`, `${at}.neutral`];
}

function isBehindCover(point: string): boolean {
  return point.includes('.line.') || point.includes('.load.');
}

function ohms(from: string, to: string): Test {
  return { test: 'resistance', from, to };
}

function volts(from: string, to: string): Test {
  return { test: 'voltage', from, to };
}
