import type { Circuit } from '../circuit/circuit.js';
import type { StageId } from '../steps/step.js';
import { drawNarrowCircuit } from './circuit-narrow.js';
import type { CircuitDrawingInput } from './circuit-progress.js';
import { drawWideCircuit } from './circuit-wide.js';
import { circuitDescription } from './circuit-words.js';
import type { Place } from './place.js';
import type { Scene } from './scene.js';

/**
 * The circuit from the supply to the last outlet, the van's skin as a line across it, three conductors to every length. How each
 * conductor is drawn says how far the work has come; break marks are defects and bars are holds, each with its word.
 */
export function circuitDrawing(input: CircuitDrawingInput): Scene {
  const drawn = input.layout === 'wide' ? drawWideCircuit(input) : drawNarrowCircuit(input);
  return {
    ...drawn,
    title: 'The circuit, from the supply to the last outlet',
    description: circuitDescription(input),
  };
}

/** Where across the run the hold of a stage stands: what cannot be passed before it. */
export function placeOfStageHold(stage: StageId, circuit: Circuit): Place {
  const first = circuit.run[0]?.id ?? '';
  const last = circuit.run.at(-1)?.id ?? '';
  const places: Record<StageId, Place> = {
    sheet: 'inlet',
    placement: 'inlet',
    opening: 'inlet',
    cable: `feed:${first}`,
    order: `outlet:${first}`,
    terminations: `feed:${last}`,
    dead: 'cord',
    live: 'cord',
    handover: `outlet:${last}`,
  };
  return places[stage];
}
