import {
  conductors,
  type ElectricalCircuit,
  firstGroundFaultDevice,
  isGroundFaultDevice,
} from './electrical-circuit.js';
import type { Test } from './readings-file.js';

/** The test load that the round of readings takes at the last outlet, A. */
export const testLoadA = 8;

/**
 * The whole round of readings that a circuit calls for, dead before live: ground paths, hot and neutral to each device and
 * behind it, the three pairs on each side of a device and at its face, the cord alone, then supply, device, chassis to earth,
 * three voltages an outlet, dead after TEST, and the load at the last outlet.
 */
export function fullSchedule(circuit: ElectricalCircuit): Test[] {
  return [...deadSchedule(circuit), ...liveSchedule(circuit)];
}

function deadSchedule(circuit: ElectricalCircuit): Test[] {
  const tests: Test[] = [ohms('inlet.ground', 'chassis')];
  const numbers = circuit.run.map((_, k) => k + 1);
  const devices = numbers.filter((k) => isGroundFaultDevice(circuit, k));
  for (const k of numbers) tests.push(ohms('inlet.ground', `outlet${k}.ground`));
  let start = 'inlet';
  for (const k of numbers) {
    const screws = isGroundFaultDevice(circuit, k) ? `outlet${k}.line` : `outlet${k}`;
    for (const c of ['hot', 'neutral'] as const) tests.push(ohms(`${start}.${c}`, `${screws}.${c}`));
    if (isGroundFaultDevice(circuit, k)) start = `outlet${k}.load`;
  }
  tests.push(...pairs((c) => `inlet.${c}`));
  for (const k of devices)
    tests.push(...pairs((c) => (c === 'ground' ? `outlet${k}.ground` : `outlet${k}.load.${c}`)));
  for (const k of devices) tests.push(...pairs((c) => `outlet${k}.${c}`));
  for (const c of conductors) tests.push(ohms(`plug.${c}`, `connector.${c}`));
  return tests;
}

function liveSchedule(circuit: ElectricalCircuit): Test[] {
  const numbers = circuit.run.map((_, k) => k + 1);
  const hasDevice = firstGroundFaultDevice(circuit) > 0;
  const last = `outlet${circuit.run.length}`;
  const tests: Test[] = [{ test: 'observation', what: 'supply-holds' }];
  if (hasDevice) tests.push({ test: 'observation', what: 'gfci-resets' });
  tests.push({ test: 'voltage', from: 'chassis', to: 'earth' });
  for (const k of numbers) {
    for (const [from, to] of slotPairs)
      tests.push({ test: 'voltage', from: `outlet${k}.${from}`, to: `outlet${k}.${to}` });
  }
  if (hasDevice) {
    for (const k of numbers) tests.push({ test: 'observation', what: 'dead-when-tripped', at: `outlet${k}` });
    tests.push({ test: 'observation', what: 'holds-under-load', at: last, amps: testLoadA });
  }
  tests.push({ test: 'loaded-voltage', from: `${last}.hot`, to: `${last}.neutral`, amps: testLoadA });
  return tests;
}

/** The three pairs of conductors, in the order in which they are read. */
export const slotPairs = [
  ['hot', 'neutral'],
  ['hot', 'ground'],
  ['neutral', 'ground'],
] as const;

function pairs(name: (conductor: (typeof conductors)[number]) => string): Test[] {
  return slotPairs.map(([a, b]) => ohms(name(a), name(b)));
}

function ohms(from: string, to: string): Test {
  return { test: 'resistance', from, to };
}
