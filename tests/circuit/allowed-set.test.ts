import { expect, test } from 'vitest';
import {
  allowedSets,
  designAmps,
  whatMayNotRunTogether,
  whatMayRunTogether,
} from '../../src/circuit/allowed-set.js';
import { ownerFacts } from '../../src/circuit/owner-facts.js';
import { electricalCircuit } from '../../src/meter/electrical-circuit.js';
import { ownerSentences } from '../../src/trade/owner-sentences.js';
import { demoCircuit } from './demo-circuit.js';

test('the sets of the circuit are summed in A at 120 V', () => {
  const [gluing, pressing] = allowedSets(demoCircuit());
  expect(gluing!.amps).toBeCloseTo((24 + 300 + 260) / 120, 9);
  expect(pressing!.amps).toBeCloseTo((24 + 900 + 260) / 120, 9);
  expect(pressing!.continuousAmps).toBeCloseTo((24 + 260) / 120, 9);
  expect(pressing!.fastenedAmps).toBeCloseTo(260 / 120, 9);
});

test('without any set all loads run at once', () => {
  const circuit = demoCircuit({ together: [] });
  expect(allowedSets(circuit).map((s) => s.id)).toEqual(['all']);
  expect(designAmps(circuit)).toBeCloseTo((24 + 300 + 900 + 260) / 120, 9);
  expect(whatMayNotRunTogether(circuit)).toEqual([]);
});

test('a set takes a load at its own outlet, though another of that name hangs elsewhere', () => {
  const lamp = { name: 'task lamp', watts: 60 };
  const [gluing] = allowedSets(demoCircuit({ 'run.1.loads.1': lamp }));
  expect(gluing!.amps).toBeCloseTo((24 + 300 + 260) / 120, 9);
});

test('a load outside every set runs alone', () => {
  const circuit = demoCircuit({
    together: [{ name: 'light', loads: [{ outlet: 'bench', load: 'task lamp' }] }],
  });
  expect(allowedSets(circuit).map((s) => s.id)).toEqual([
    'light',
    'alone-bench-glue-pot',
    'alone-press-nipping-press-heater',
    'alone-locker-battery-charger',
  ]);
});

test('sets of like names have ids of their own, so that what is conceded of one is not conceded of another', () => {
  const loads = [{ outlet: 'bench', load: 'task lamp' }];
  const names = ['Évening!', 'évening', 'évening 2', 'Alone, press: nipping-press heater'];
  const circuit = demoCircuit({ together: names.map((name) => ({ name, loads })) });
  expect(allowedSets(circuit).map((s) => s.id)).toEqual([
    ...['évening', 'évening-2', 'évening-2-2', 'alone-press-nipping-press-heater'],
    ...['alone-bench-glue-pot', 'alone-press-nipping-press-heater-2', 'alone-locker-battery-charger'],
  ]);
  expect(whatMayRunTogether(circuit)[3]).toBe('Alone, press: nipping-press heater: task lamp, 0.2 A of 15 A');
});

test('where no load is named the drop is computed for four fifths of the breaker', () => {
  expect(designAmps(demoCircuit({ together: [], 'run.*.loads': [] }))).toBe(12);
});

test('the owner reads what may and what may not run together', () => {
  expect(whatMayRunTogether(demoCircuit())).toEqual([
    'gluing: task lamp, glue pot and battery charger, 4.9 A of 15 A',
    'pressing: task lamp, nipping-press heater and battery charger, 9.9 A of 15 A',
  ]);
  expect(whatMayNotRunTogether(demoCircuit())).toEqual(['glue pot with nipping-press heater']);
});

test('the owner has ten sentences with the figures of the circuit in them', () => {
  const sentences = ownerSentences(ownerFacts(demoCircuit()));
  expect(sentences).toHaveLength(10);
  expect(sentences.join(' ')).toContain('12 AWG (3.31 mm²), 7.62 m (25 ft), SJTW');
  expect(sentences.join(' ')).toContain('glue pot with nipping-press heater');
  expect(sentences.join(' ')).toContain('van’s own 15 A breaker');
});

test('an owner of a van for which no load was named reads of no sets', () => {
  const together = ownerSentences(ownerFacts(demoCircuit({ together: [], 'run.*.loads': [] })))[5];
  expect(together).toMatch(/^No load was named when this was made: the 15 A breaker is the only measure\./);
  expect(together).not.toMatch(/these sets|May run/i);
});

test('the electrical circuit is what a readings file says, and nothing more', () => {
  expect(electricalCircuit(demoCircuit())).toEqual({
    supply: { volts: 120, loopOhms: 0.3 },
    cord: { awg: 12, lengthM: 7.62 },
    inlet: { amps: 15 },
    breaker: { amps: 15 },
    bond: { awg: 8, lengthM: 1 },
    run: [
      { device: 'gfci-receptacle', feed: { awg: 12, lengthM: 3 } },
      { device: 'receptacle', feed: { awg: 12, lengthM: 2 } },
      { device: 'receptacle', feed: { awg: 12, lengthM: 2 } },
    ],
  });
});
