import type { Circuit } from '../../circuit/circuit.js';
import { deviceBack, hasBack } from '../../drawing/device-back.js';
import { looksOfFault } from '../../drawing/looks-of-fault.js';
import { placesOf } from '../../drawing/place.js';
import { faultSchema } from '../../meter/fault.js';
import type { Step } from '../../steps/step.js';
import { type Drawn, drawn } from '../page/drawn.js';

/** The backs of the devices that a step lands conductors on. */
export function deviceBacks(circuit: Circuit, step: Step): Drawn[] {
  if (step.stage !== 'terminations' && step.stage !== 'order') return [];
  return placesOf(circuit)
    .filter((place) => step.parts.includes(place) && hasBack(place))
    .slice(0, 2)
    .map((place, k) => drawn(`back-${k}`, deviceBack({ circuit, place })));
}

/** The backs that a suspect leads to, with the ends to look at first marked; nothing for what lies outside the van. */
export function suspectPictures(
  circuit: Circuit,
  faults: readonly Readonly<Record<string, unknown>>[],
  word: string,
  prefix: string,
): Drawn[] {
  const looks = faults.flatMap((raw) => {
    const fault = faultSchema.safeParse(raw);
    return fault.success ? looksOfFault(circuit, fault.data) : [];
  });
  return looks
    .filter((look) => hasBack(look.place))
    .slice(0, 2)
    .map(({ place, landings }, k) =>
      drawn(`${prefix}-${k}`, deviceBack({ circuit, place, mark: { landings, word } })),
    );
}
