import { Bench } from './bench.js';
import { coupledVolts } from './coupled-network.js';
import { type ElectricalCircuit, loadOhm } from './electrical-circuit.js';
import type { Fault } from './fault.js';
import { type LoadAt, settle } from './live-state.js';
import type { Meter } from './meter.js';
import { type Lamps, loadedOutlet, type Test } from './readings-file.js';
import { lampsOfBits } from './three-lamp.js';

/** What a test should show: the meter's figure before its error. A floating reading proves nothing, whatever it shows. */
export type Prediction =
  | { readonly kind: 'ohms'; readonly ohms: number | null }
  | { readonly kind: 'volts'; readonly volts: number; readonly floating: boolean }
  | { readonly kind: 'answer'; readonly answer: boolean | null }
  | { readonly kind: 'lamps'; readonly lamps: Lamps };

interface PredictOptions {
  /** At which end of its length an open conductor is broken; a floating point's volts depend on it. */
  readonly breakAt?: 'start' | 'end';
}

/**
 * What the meter would show at each test with these faults in the circuit: Ω (null for over-limit), V, yes or no (null
 * where it cannot be said), or lamps. Ghost volts are computed from the cables' coupling.
 */
export function predict(
  circuit: ElectricalCircuit,
  meter: Meter,
  faults: readonly Fault[],
  tests: readonly Test[],
  options: PredictOptions = {},
): Prediction[] {
  const bench = new Bench(circuit, meter, tests);
  const { values } = bench.shows(faults);
  return tests.map((test, i): Prediction => {
    const value = values[i]!;
    if (test.test === 'resistance')
      return { kind: 'ohms', ohms: value > meter.ohms.overLimit ? null : value };
    if (test.test === 'observation') {
      if (test.what === 'three-lamp') return { kind: 'lamps', lamps: lampsOfBits(value) };
      return { kind: 'answer', answer: Number.isNaN(value) ? null : value === 1 };
    }
    const floating = Number.isNaN(value);
    const volts = floating ? ghostVolts(bench, faults, test, options) : value;
    return { kind: 'volts', volts, floating };
  });
}

/** One prediction. */
export function predictOne(
  circuit: ElectricalCircuit,
  meter: Meter,
  faults: readonly Fault[],
  test: Test,
): Prediction {
  return predict(circuit, meter, faults, [test])[0]!;
}

function ghostVolts(bench: Bench, faults: readonly Fault[], test: Test, options: PredictOptions): number {
  if (test.test !== 'voltage' && test.test !== 'loaded-voltage') return 0;
  const { layout, circuit, meter } = bench;
  const load: LoadAt | undefined =
    test.test === 'loaded-voltage'
      ? { outlet: loadedOutlet(circuit, test.from)!, ohm: loadOhm(circuit, test.amps) }
      : undefined;
  const atCordEnd = test.from.startsWith('connector') || test.to.startsWith('connector');
  const { contacts } = settle(layout, faults, load);
  const setting = { supplied: true, cordIn: !atCordEnd, contacts, load, breakAt: options.breakAt };
  return coupledVolts({ layout, faults, setting, meter, from: test.from, to: test.to });
}
