import type { Circuit } from '../circuit/circuit.js';
import type { StageId } from '../steps/step.js';
import { drawNarrowCircuit } from './circuit-narrow.js';
import { drawWideCircuit } from './circuit-wide.js';
import { circuitDescription } from './circuit-words.js';
import type { Conductor, Place, Segment } from './place.js';
import type { Scene } from './scene.js';

/** How far a conductor has come: dotted, thin, solid, solid with end ticks. */
export type Progress = 'planned' | 'landed' | 'dead' | 'live';

export interface CircuitDefect {
  readonly place: Place;
  /** The one conductor it breaks; without it the mark stands across all three. */
  readonly conductor?: Conductor | undefined;
  readonly word: string;
}

export interface CircuitHold {
  readonly place: Place;
  readonly word: string;
}

export interface CircuitDrawingInput {
  readonly circuit: Circuit;
  /** Wide for a desktop page and the record (960 units across), narrow for a phone (320 units across). */
  readonly layout: 'wide' | 'narrow';
  readonly progress: (segment: Segment, conductor: Conductor) => Progress;
  readonly defects: readonly CircuitDefect[];
  readonly holds: readonly CircuitHold[];
  /** The part that the present step concerns. */
  readonly focus?: Place | undefined;
  /** Where touching a part leads; left out for paper. */
  readonly href?: ((place: Place) => string) | undefined;
  readonly lengthUnit?: 'm' | 'ft' | undefined;
}

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
