import type { Circuit } from '../../circuit/circuit.js';
import { placeWords } from '../../circuit/place-words.js';
import { capital } from '../../circuit/quantity-text.js';
import { lengthUnitOf, type UnitSystem } from '../../circuit/units.js';
import { circuitDrawing } from '../../drawing/circuit-drawing.js';
import { progressWord } from '../../drawing/circuit-words.js';
import { jobProgress } from '../../drawing/job-progress.js';
import { conductorsOf, type Place, placesOf, segmentsOf } from '../../drawing/place.js';
import type { Assessment } from '../../steps/assessment.js';
import { type DrawnTwice, drawnTwice } from '../page/drawn.js';
import { jobPath } from '../words/job-words.js';

/** The circuit with the progress of its job; touching a part of the wide one leads to its steps. */
export function drawJob(
  number: string,
  job: Assessment,
  units: UnitSystem,
  focus: readonly Place[] = [],
): DrawnTwice {
  return drawnTwice('circuit', (layout) =>
    circuitDrawing({
      circuit: job.circuit,
      layout,
      ...jobProgress(job),
      ...(focus.length === 0 ? {} : { focus }),
      // On a phone the lengths are too low for a thumb: the list of parts below leads there.
      ...(layout === 'wide' ? { href: (p: Place) => jobPath(number, 'parts', p) } : {}),
      lengthUnit: lengthUnitOf(units),
    }),
  );
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

/** The circuit before any work. */
export function drawPlanned(circuit: Circuit, units: UnitSystem): DrawnTwice {
  const lengthUnit = lengthUnitOf(units);
  const planned = { progress: () => 'planned' as const, defects: [], holds: [] };
  return drawnTwice('circuit', (layout) => circuitDrawing({ circuit, layout, lengthUnit, ...planned }));
}
