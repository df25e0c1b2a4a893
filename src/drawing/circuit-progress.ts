import type { Circuit } from '../circuit/circuit.js';
import type { Conductor, Place, Segment } from './place.js';

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
  /** The parts that the page is about; undefined where it is about them all. */
  readonly focus?: readonly Place[] | undefined;
  /** Where touching a part leads; left out for paper. */
  readonly href?: ((place: Place) => string) | undefined;
  readonly lengthUnit?: 'm' | 'ft' | undefined;
}
