import { describe, expect, it } from 'vitest';
import { predict } from '../../src/meter/predict.js';
import type { Test } from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { randomFrom } from '../random-from.js';
import { caseMeter, standsOf } from './ngspice/make-cases.js';
import { measureAll, type Wanted } from './ngspice/measure.js';
import type { SetUp } from './ngspice/netlist.js';
import { randomCircuit, randomFault } from './ngspice/random-case.js';

/**
 * The network against ngspice (Berkeley SPICE), run here on netlists that the test writes from the page on circuits and faults.
 * Tolerances are those that page asks for: 0.5 % or 2 mΩ, driven volts within 0.1 V, floating ones within 1 V.
 */
const vans = Array.from({ length: 72 }, (_, i) => {
  const random = randomFrom(40_000 + i);
  const circuit = { ...randomCircuit(random), temperatureC: i % 3 === 0 ? 35 : 20 };
  const truth = Array.from({ length: i % 3 }, () => randomFault(random, circuit));
  const breakAt = random() < 0.5 ? ('start' as const) : ('end' as const);
  return { circuit, truth, breakAt };
});
const stands = standsOf(vans);

describe('the network against ngspice', () => {
  it('shows the same resistance, driven volts and ghost volts on 72 random vans with none, one and two faults', () => {
    const wanted: Wanted[] = [];
    const expected: { van: number; test: Test }[] = [];
    vans.forEach((van, i) => {
      for (const test of metered(van.circuit)) {
        if (test.test === 'observation') continue;
        if (test.test !== 'resistance' && !stands[i]!.breakerHolds) continue;
        if (test.test === 'loaded-voltage' && !stands[i]!.holdsUnderLoad) continue;
        wanted.push({ setUp: setUpOf(van, stands[i]!.resets, test), between: [test.from, test.to] });
        expected.push({ van: i, test });
      }
    });
    const measured = measureAll(wanted);
    const kinds = { ohms: 0, driven: 0, floating: 0 };
    const wrong: string[] = [];
    expected.forEach(({ van, test }, i) => {
      const { circuit, truth, breakAt } = vans[van]!;
      const [prediction] = predict(circuit, caseMeter, truth, [test], { breakAt });
      const real = measured[i]!.volts;
      const say = (mine: unknown) =>
        wrong.push(`${JSON.stringify({ truth, test })}: ngspice ${real}, predicted ${mine}`);
      if (prediction!.kind === 'ohms') {
        kinds.ohms++;
        const over = real > caseMeter.ohms.overLimit;
        const { ohms } = prediction!;
        if (over !== (ohms === null)) say(ohms);
        else if (ohms !== null && Math.abs(ohms - real) > Math.max(0.002, 0.005 * real)) say(ohms);
      } else if (prediction!.kind === 'volts') {
        const { volts, floating } = prediction!;
        kinds[floating ? 'floating' : 'driven']++;
        if (Math.abs(volts - real) > (floating ? 1 : 0.1)) say(volts);
      }
    });
    expect(wrong).toEqual([]);
    expect(Math.min(...Object.values(kinds))).toBeGreaterThan(100);
  });

  it('answers alike whether the supply’s breaker stays in, the device resets, and holds under load', () => {
    const tests: Test[] = [
      { test: 'observation', what: 'supply-holds' },
      { test: 'observation', what: 'gfci-resets' },
    ];
    vans.forEach(({ circuit, truth }, i) => {
      const last = `outlet${circuit.run.length}`;
      const load: Test = { test: 'observation', what: 'holds-under-load', at: last, amps: 8 };
      const [supply, resets, holds] = predict(circuit, caseMeter, truth, [...tests, load]);
      const { breakerHolds, resets: reset, holdsUnderLoad } = stands[i]!;
      expect({ van: i, truth, supply, resets, holds }).toEqual({
        van: i,
        truth,
        supply: { kind: 'answer', answer: breakerHolds },
        resets: { kind: 'answer', answer: reset },
        holds: { kind: 'answer', answer: holdsUnderLoad },
      });
    });
  });
});

type Van = (typeof vans)[number];

function metered(circuit: Van['circuit']): Test[] {
  return fullSchedule(circuit).filter((t) => t.test !== 'observation');
}

function setUpOf(van: Van, resets: boolean, test: Exclude<Test, { test: 'observation' }>): SetUp {
  const { circuit, truth, breakAt } = van;
  const dead = test.test === 'resistance';
  return {
    circuit,
    faults: truth,
    state: dead ? 'dead' : 'live',
    closed: new Set(!dead && resets ? [1] : []),
    breakAt,
    probe: { from: test.from, to: test.to, inputOhm: caseMeter.inputOhms },
    ...(test.test === 'loaded-voltage'
      ? { load: { outlet: circuit.run.length, ohm: circuit.supply.volts / test.amps } }
      : {}),
  };
}
