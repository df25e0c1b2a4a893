import type { Circuit } from '../../circuit/circuit.js';
import { lengthUnitOf, type UnitSystem } from '../../circuit/units.js';
import { bodyPlacement } from '../../drawing/body-placement.js';
import { circuitProfile } from '../../drawing/circuit-profile.js';
import { type Drawn, type DrawnTwice, drawn, drawnTwice } from '../page/drawn.js';

/** Volts along the run. */
export function drawProfile(circuit: Circuit, units: UnitSystem): DrawnTwice {
  const lengthUnit = lengthUnitOf(units);
  return drawnTwice('profile', (layout) => circuitProfile(circuit, { layout, lengthUnit }));
}

/** Where on the body the inlet sits. */
export function drawPlacement(circuit: Circuit, units: UnitSystem): Drawn {
  return drawn('placement', bodyPlacement({ inlet: circuit.inlet, lengthUnit: lengthUnitOf(units) }));
}
