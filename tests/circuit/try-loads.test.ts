import { describe, expect, test } from 'vitest';
import { loadKeys, tryLoads } from '../../src/circuit/try-loads.js';
import { demoCircuit } from './demo-circuit.js';

const heavy = (name: string, watts: number, more = {}) => [{ name, watts, ...more }];
const at = (patch: Record<string, unknown>) => demoCircuit({ together: [], ...patch });

describe('loads that are tried together', () => {
  test('are named by outlet and place, in the order of the run', () => {
    expect(loadKeys(demoCircuit()).map((l) => `${l.key} ${l.placed.load.name}`)).toEqual([
      'bench.0 task lamp',
      'bench.1 glue pot',
      'press.0 nipping-press heater',
      'locker.0 battery charger',
    ]);
  });

  test('are summed against the breaker, a quarter more where they are on for long', () => {
    const circuit = at({ 'run.0.loads': heavy('warmer', 960, { continuous: true }) });
    const tried = tryLoads(circuit, ['bench.0', 'press.0']);
    expect(tried.amps).toBeCloseTo(15.5);
    expect(tried.countedAmps).toBeCloseTo(17.5);
    expect(tried.answer).toBe('too-much');
    expect(tried.sentences).toContain('Too much at once: 15.5 A, more than the breaker’s 15 A.');
  });

  test('are too much at 12.1 A for three hours on a breaker of 15 A, and not at 12 A', () => {
    const long = (watts: number) =>
      tryLoads(at({ 'run.0.loads': heavy('warmer', watts, { continuous: true }) }), ['bench.0']);
    expect(long(1440).answer).toBe('carried');
    expect(long(1452).answer).toBe('too-much');
  });

  test('are told apart from what the plan keeps apart', () => {
    const together = [{ name: 'at the bench', loads: [{ outlet: 'bench', load: 'task lamp' }] }];
    const circuit = demoCircuit({ together });
    expect(tryLoads(circuit, ['bench.0'])).toMatchObject({ answer: 'carried' });
    const both = tryLoads(circuit, ['bench.0', 'bench.1']);
    expect(both.answer).toBe('apart');
    expect(both.sentences.at(-1)).toBe('The plan keeps apart: task lamp with glue pot.');
  });

  test('that pair by pair are in the plan and never all at once are in no set of it', () => {
    const pair = (a: [string, string], b: [string, string]) => ({
      name: `${a[1]} and ${b[1]}`,
      loads: [a, b].map(([outlet, load]) => ({ outlet, load })),
    });
    const [lamp, pot, press] = [
      ['bench', 'task lamp'],
      ['bench', 'glue pot'],
      ['press', 'nipping-press heater'],
    ] as [string, string][];
    const circuit = demoCircuit({ together: [pair(lamp!, pot!), pair(lamp!, press!), pair(pot!, press!)] });
    const tried = tryLoads(circuit, ['bench.0', 'bench.1', 'press.0']);
    expect(tried).toMatchObject({ answer: 'apart' });
    expect(tried.sentences.at(-1)).toBe('The plan has no set with all of these.');
  });

  test('may be none, and a key of no load is left out', () => {
    expect(tryLoads(demoCircuit(), ['bench.9', 'x'])).toMatchObject({ answer: 'none', amps: 0 });
  });
});
