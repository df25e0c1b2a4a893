import { numberText, ohmsText } from '../circuit/quantity-text.js';
import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import { predictOne } from '../meter/predict.js';
import type { Test } from '../meter/readings-file.js';
import { uncertaintyOfDifference } from '../meter/uncertainty.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { Measured, Taken } from './taken.js';

/** The resistance that a loaded voltage speaks of beyond what the sound circuit explains. Said, never judged. */
export interface Joint {
  readonly at: string;
  /** Beyond the predicted, Ω, and how far the meter may be off. */
  readonly ohms: number;
  readonly uncertaintyOhm: number;
  /** The load that showed it, A. */
  readonly amps: number;
  /** `look` above 0.1 Ω, `mend` above 0.2 Ω, `load-off` above 1 Ω or 64 W, each only where the meter can tell so much. */
  readonly what: 'none' | 'look' | 'mend' | 'load-off' | 'meter-too-coarse';
}

/**
 * What every loaded voltage says of joints: the ohms that the load finds beyond the predicted, less what the supply's own slots
 * showed of them under the same load. @source arithmetic; no standard
 */
export function jointsUnderLoad(circuit: ElectricalCircuit, taken: Taken): Joint[] {
  const carrying = taken.loaded().filter(({ value }) => !carriesNone(value ?? 0));
  return carrying.map((read) => {
    const own = beyond(circuit, taken, read, read.outlet);
    const atSupply = taken.loadedSupply().find(({ amps }) => amps === read.amps);
    const supply = atSupply && beyond(circuit, taken, atSupply, 'supply');
    const ohms = own.ohms - (supply?.ohms ?? 0);
    const uncertaintyOhm = own.errorOhm + (supply?.errorOhm ?? 0);
    return {
      at: read.outlet,
      amps: read.amps,
      ohms,
      uncertaintyOhm,
      what: whatToDo(ohms, uncertaintyOhm, read.amps),
    };
  });
}

/**
 * Ω beyond the predicted at one place, and how far the meter may be off there. They are counted from what the same slots showed
 * without the load, where they were read: one meter errs alike in both, and a supply that is off its volts counts for nothing.
 */
function beyond(
  circuit: ElectricalCircuit,
  taken: Taken,
  { value, uncertainty, amps }: Measured & { readonly amps: number },
  place: string,
): { readonly ohms: number; readonly errorOhm: number } {
  const slots = { from: `${place}.hot`, to: `${place}.neutral` } as const;
  const predicted = (test: Test) => {
    const prediction = predictOne(circuit, taken.meter, [], test);
    return prediction.kind === 'volts' ? prediction.volts : circuit.supply.volts;
  };
  const expected = predicted({ test: 'loaded-voltage', ...slots, amps });
  const shown = value ?? 0;
  const unloaded = taken.volts(slots.from, slots.to).find((m) => (m.value ?? 0) > shown)?.value;
  if (unloaded == null) return { ohms: (expected - shown) / amps, errorOhm: uncertainty / amps };
  const drop = predicted({ test: 'voltage', ...slots }) - expected;
  const error = uncertaintyOfDifference(taken.meter, 'voltage', unloaded, shown);
  return { ohms: (unloaded - shown - drop) / amps, errorOhm: error / amps };
}

/** Whether no current flows through a load at whose slots so many volts stand: something opened, and that tells of no joint's ohms. */
export function carriesNone(volts: number): boolean {
  return volts < readingLimits.deadAfterTest.value;
}

function whatToDo(ohms: number, uncertaintyOhm: number, amps: number): Joint['what'] {
  const { unexplainedMend, unexplainedLook } = readingLimits;
  const above = (limit: { readonly value: number }) => ohms - uncertaintyOhm > limit.value;
  if (takesNoLoad(ohms - uncertaintyOhm, amps)) return 'load-off';
  if (above(unexplainedMend)) return 'mend';
  if (above(unexplainedLook)) return 'look';
  return ohms + uncertaintyOhm > unexplainedLook.value ? 'meter-too-coarse' : 'none';
}

/** Whether so many ohms at the least bear no load, or not this one: a heavier load makes as much heat in fewer. */
export function takesNoLoad(leastOhm: number, amps: number): boolean {
  const { loadThroughJoint, heatInJoint } = readingLimits;
  return leastOhm > loadThroughJoint.value || leastOhm * amps ** 2 > heatInJoint.value;
}

/** What comes first where a load makes heat that no box bears. */
export function loadOff(ohms: number, amps: number): string {
  const watts = numberText(Number((ohms * amps ** 2).toPrecision(2)), 0);
  return `Take the load off now: about ${ohmsText(ohms, 2)} more than this circuit has make some ${watts} W of heat, perhaps in one joint. Unplug at the supply, find it dead, and put no load on before it is mended.`;
}
