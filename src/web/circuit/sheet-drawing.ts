import type { Circuit } from '../../circuit/circuit.js';
import { bodyPlacement } from '../../drawing/body-placement.js';
import { circuitProfile } from '../../drawing/circuit-profile.js';
import { sceneToSvg } from '../../drawing/scene-to-svg.js';
import type { CircuitDrawn, Drawn } from '../job/job-drawing.js';

/** Volts along the run, once for a wide screen and once for a phone. */
export function drawProfile(circuit: Circuit, units: 'metric' | 'imperial'): CircuitDrawn {
  const lengthUnit = units === 'imperial' ? 'ft' : 'm';
  const draw = (layout: 'wide' | 'narrow'): Drawn => ({
    svg: sceneToSvg(circuitProfile(circuit, { layout, lengthUnit }), { idPrefix: `profile-${layout}` }),
  });
  return { wide: draw('wide'), narrow: draw('narrow') };
}

/** Where on the body the inlet sits. */
export function drawPlacement(circuit: Circuit, units: 'metric' | 'imperial'): Drawn {
  const scene = bodyPlacement({ inlet: circuit.inlet, lengthUnit: units === 'imperial' ? 'ft' : 'm' });
  return { svg: sceneToSvg(scene, { idPrefix: 'placement' }) };
}
