import type { Circuit } from '../../circuit/circuit.js';
import { placeWords } from '../../circuit/place-words.js';
import { capital } from '../../circuit/quantity-text.js';
import { lengthUnitOf, type UnitSystem } from '../../circuit/units.js';
import { circuitDrawing } from '../../drawing/circuit-drawing.js';
import { progressWord } from '../../drawing/circuit-words.js';
import { jobProgress } from '../../drawing/job-progress.js';
import { conductorsOf, type Place, placesOf, segmentsOf } from '../../drawing/place.js';
import { sceneToSvg } from '../../drawing/scene-to-svg.js';
import type { Assessment } from '../../steps/assessment.js';
import { jobPath } from '../words/job-words.js';

/** A drawing as a template puts it on the page. The markup is made, and every text in it escaped, by the drawing itself. */
export interface Drawn {
  readonly svg: string;
}
export interface CircuitDrawn {
  readonly wide: Drawn;
  readonly narrow: Drawn;
}

/** The circuit with the progress of its job, once for a wide screen and once for a phone; touching a part of the wide one leads to its steps. */
export function drawJob(
  number: string,
  job: Assessment,
  units: UnitSystem,
  focus: readonly Place[] = [],
): CircuitDrawn {
  const draw = (layout: 'wide' | 'narrow'): Drawn => ({
    svg: sceneToSvg(
      circuitDrawing({
        circuit: job.circuit,
        layout,
        ...jobProgress(job),
        ...(focus.length === 0 ? {} : { focus }),
        // On a phone the lengths are too low for a thumb: the list of parts below leads there.
        ...(layout === 'wide' ? { href: (p: Place) => jobPath(number, 'parts', p) } : {}),
        lengthUnit: lengthUnitOf(units),
      }),
      { idPrefix: `circuit-${layout}` },
    ),
  });
  return { wide: draw('wide'), narrow: draw('narrow') };
}

/** What a step's page marks: the boxes and the bond that it concerns, or where there are none the cable and cord. */
export function marksOfStep({ circuit }: Assessment, parts: readonly string[]): Place[] {
  const concerned = placesOf(circuit).filter((place) => parts.includes(place));
  const boxes = concerned.filter((place) => place !== 'cord' && !place.startsWith('feed:'));
  return boxes.length > 0 ? boxes : concerned;
}

/** What a reading's page marks: readings run from the inlet to what they are about, the part furthest along the run. */
export function markOfReading({ circuit }: Assessment, parts: readonly string[]): Place[] {
  const concerned = placesOf(circuit).filter((place) => parts.includes(place));
  const mark = concerned.findLast((place) => place.startsWith('outlet:')) ?? concerned[0];
  return mark === undefined ? [] : [mark];
}

/** Every part of the circuit as a line to tap: what the drawing shows of it, in words. */
export function partLines(number: string, job: Assessment) {
  const { progress, defects, holds } = jobProgress(job);
  return placesOf(job.circuit).map((place) => {
    const name = placeWords(job.circuit, place);
    const defect = defects.find((d) => d.place === place);
    const hold = holds.find((h) => h.place === place);
    const segment = segmentsOf(job.circuit).find((s) => s === place);
    const states =
      segment === undefined
        ? []
        : conductorsOf(segment).map((c) => progressWord(segment, progress(segment, c)));
    return {
      href: jobPath(number, 'parts', place),
      name: capital(name),
      states: [...new Set(states)].join(', '),
      marks: [
        ...(defect ? [{ look: 'defect', word: defect.word }] : []),
        ...(hold ? [{ look: 'held', word: hold.word }] : []),
      ],
    };
  });
}

/** The circuit before any work, once for a wide screen and once for a phone. */
export function drawPlanned(circuit: Circuit, units: UnitSystem): CircuitDrawn {
  const lengthUnit = lengthUnitOf(units);
  const progress = () => 'planned' as const;
  const draw = (layout: 'wide' | 'narrow'): Drawn => ({
    svg: sceneToSvg(circuitDrawing({ circuit, layout, progress, defects: [], holds: [], lengthUnit }), {
      idPrefix: `circuit-${layout}`,
    }),
  });
  return { wide: draw('wide'), narrow: draw('narrow') };
}
