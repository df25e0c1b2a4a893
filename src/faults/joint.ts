import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import { predictOne } from '../meter/predict.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { Taken } from './taken.js';

/** The resistance that a loaded voltage speaks of beyond what the sound circuit explains. Said, never judged. */
export interface Joint {
  readonly at: string;
  /** Beyond the predicted, Ω, and how far the meter may be off. */
  readonly ohms: number;
  readonly uncertaintyOhm: number;
  /** `look` above 0.1 Ω, `mend` above 0.2 Ω, each only where the meter can tell so much. */
  readonly what: 'none' | 'look' | 'mend' | 'meter-too-coarse';
}

/** (predicted − measured) volts by the load's amps, for every loaded voltage taken. @source arithmetic; no standard */
export function jointsUnderLoad(circuit: ElectricalCircuit, taken: Taken): Joint[] {
  return taken.loaded().map(({ value, uncertainty, amps, outlet }) => {
    const test = { test: 'loaded-voltage', from: `${outlet}.hot`, to: `${outlet}.neutral`, amps } as const;
    const predicted = predictOne(circuit, taken.meter, [], test);
    const expected = predicted.kind === 'volts' ? predicted.volts : circuit.supply.volts;
    const ohms = (expected - (value ?? 0)) / amps;
    const uncertaintyOhm = uncertainty / amps;
    const above = (limit: number) => ohms - uncertaintyOhm > limit;
    const what = above(readingLimits.unexplainedMend.value)
      ? 'mend'
      : above(readingLimits.unexplainedLook.value)
        ? 'look'
        : ohms + uncertaintyOhm > readingLimits.unexplainedLook.value
          ? 'meter-too-coarse'
          : 'none';
    return { at: outlet, ohms, uncertaintyOhm, what };
  });
}
