import type { Circuit } from '../../circuit/circuit.js';
import { lengthUnitOf, type UnitSystem } from '../../circuit/units.js';
import { bodyPlacement } from '../../drawing/body-placement.js';
import { circuitProfile } from '../../drawing/circuit-profile.js';
import { sceneToSvg } from '../../drawing/scene-to-svg.js';
import type { CircuitDrawn, Drawn } from '../job/job-drawing.js';

/** Volts along the run, once for a wide screen and once for a phone. */
export function drawProfile(circuit: Circuit, units: UnitSystem): CircuitDrawn {
  const lengthUnit = lengthUnitOf(units);
  const draw = (layout: 'wide' | 'narrow'): Drawn => ({
    svg: sceneToSvg(circuitProfile(circuit, { layout, lengthUnit }), { idPrefix: `profile-${layout}` }),
  });
  return { wide: draw('wide'), narrow: draw('narrow') };
}

/** Where on the body the inlet sits. */
export function drawPlacement(circuit: Circuit, units: UnitSystem): Drawn {
  const scene = bodyPlacement({ inlet: circuit.inlet, lengthUnit: lengthUnitOf(units) });
  return { svg: sceneToSvg(scene, { idPrefix: 'placement' }) };
}
