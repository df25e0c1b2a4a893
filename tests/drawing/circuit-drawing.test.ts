import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { circuitDrawing, placeOfStageHold } from '../../src/drawing/circuit-drawing.js';
import type {
  CircuitDefect,
  CircuitDrawingInput,
  CircuitHold,
  Progress,
} from '../../src/drawing/circuit-progress.js';
import { conductors, placesOf, segmentsOf } from '../../src/drawing/place.js';
import { isVisible, type Part, type Shape, shapesOf } from '../../src/drawing/scene.js';
import { textBox } from '../../src/drawing/text-width.js';
import { stageIds } from '../../src/steps/step.js';
import { circuitWith } from './drawing-circuit.js';
import { crowdedTexts, smallestText, textsOf } from './scene-checks.js';

const layouts = ['wide', 'narrow'] as const;
const counts = [1, 2, 3, 4, 5, 6, 7, 8, 12];
const cases = layouts.flatMap((layout) => counts.map((count) => ({ layout, count })));
const plain = (count: number, layout: 'wide' | 'narrow'): CircuitDrawingInput => ({
  circuit: circuitWith(count),
  layout,
  progress: () => 'planned',
  defects: [],
  holds: [],
});
const partOf = (input: CircuitDrawingInput, place: string) =>
  circuitDrawing(input).shapes.filter((s): s is Part => s.kind === 'part' && s.name === place);

describe('the circuit drawing', () => {
  test.each(cases)('has every place of $count outlets as a part, $layout', ({ layout, count }) => {
    const input = plain(count, layout);
    const names = circuitDrawing(input).shapes.flatMap((s) => (s.kind === 'part' ? [s.name] : []));
    expect(new Set(names)).toEqual(new Set(placesOf(input.circuit)));
  });

  test.each(cases)('names every outlet of $count, $layout', ({ layout, count }) => {
    const words = textsOf(circuitDrawing(plain(count, layout))).map((t) => t.text);
    // A name that is too wide for its column stands in two lines.
    const said = `${words.join(' ')} `;
    for (let k = 1; k <= count; k += 1) expect(said).toMatch(new RegExp(`Outlet ${k}[ ,]`));
  });

  test.each(cases)(
    'draws three conductors along every length of $count outlets, $layout',
    ({ layout, count }) => {
      const input = plain(count, layout);
      for (const segment of segmentsOf(input.circuit)) {
        const looks = partOf(input, segment).flatMap((p) => p.shapes.map((s) => s.look));
        for (const conductor of segment === 'bond' ? ['ground'] : conductors)
          expect(looks).toContain(`${conductor} planned`);
      }
    },
  );

  test.each(layouts)('writes H, N and G on every stop, so that colour is not needed, %s', (layout) => {
    const input = plain(3, layout);
    const stops = placesOf(input.circuit).filter(
      (p) => !['cord', 'bond'].includes(p) && !p.startsWith('feed:'),
    );
    expect(stops).toHaveLength(6);
    for (const stop of stops) {
      const letters = partOf(input, stop).flatMap((p) =>
        p.shapes.flatMap((s) => (s.kind === 'text' ? [s.text] : [])),
      );
      expect(letters).toEqual(expect.arrayContaining(['H', 'N', 'G']));
    }
  });

  test.each(layouts)('draws each conductor as far as its own work has come, %s', (layout) => {
    const states: Record<string, Progress> = { hot: 'dead', neutral: 'landed', ground: 'live' };
    const input = { ...plain(2, layout), progress: (_: string, c: string) => states[c]! };
    const looks = partOf(input, 'cord').flatMap((p) => p.shapes.map((s) => s.look));
    expect(looks.filter((look) => / (planned|landed|dead|live|tick)$/.test(look))).toEqual([
      'hot dead',
      'neutral landed',
      'ground live',
      'ground tick',
      'ground tick',
    ]);
  });

  test.each(layouts)(
    'draws a break for a defect and a hatched band for a hold, each with its word, %s',
    (layout) => {
      const without = circuitDrawing(plain(3, layout));
      const withMarks = circuitDrawing({
        ...plain(3, layout),
        defects: [{ place: 'feed:out2', conductor: 'neutral', word: 'open neutral' }],
        holds: [{ place: 'cord', word: 'nothing live yet' }],
      });
      const count = (looks: string, scene: typeof without) =>
        shapesOf(scene).filter((s) => s.look === looks).length;
      expect(count('defect tick', withMarks) - count('defect tick', without)).toBe(2);
      expect(count('hold boxed', withMarks) - count('hold boxed', without)).toBe(1);
      // A thick line with feet is a conductor that is proven live.
      expect(
        shapesOf(withMarks).filter((s) => s.kind === 'line' && /^hold (heavy|tick)$/.test(s.look)),
      ).toEqual([]);
      const words = textsOf(withMarks).map((t) => t.text);
      expect(words).toContain('open neutral');
      expect(words).toContain('nothing live yet');
    },
  );

  test.each(layouts)('marks every part that the page is about, %s', (layout) => {
    for (const focus of placesOf(circuitWith(2))) {
      const scene = circuitDrawing({ ...plain(2, layout), focus: [focus] });
      expect(shapesOf(scene).filter((s) => s.look === 'focus filled').length).toBeGreaterThanOrEqual(2);
      expect(textsOf(scene).map((t) => t.text)).toContain('this page');
    }
  });

  test.each(layouts)('leads from every part to the address of that part, %s', (layout) => {
    const scene = circuitDrawing({ ...plain(3, layout), href: (place) => `/parts/${place}` });
    for (const shape of scene.shapes)
      if (shape.kind === 'part') expect(shape.href).toBe(`/parts/${shape.name}`);
    expect(scene.shapes.filter((s) => s.kind === 'part').length).toBeGreaterThan(9);
  });

  test.each(layouts)('gives every part an area of at least 24 by 24 to touch, %s', (layout) => {
    for (const count of counts)
      for (const shape of circuitDrawing(plain(count, layout)).shapes) {
        if (shape.kind !== 'part') continue;
        const area = shape.shapes.find((s) => !isVisible(s));
        expect(area?.kind === 'rect' && Math.min(area.width, area.height)).toBeGreaterThanOrEqual(24);
      }
  });

  test('keeps its text at 12 px or more on a screen of 320 px with a margin of 16', () => {
    const scene = circuitDrawing({ ...plain(8, 'narrow'), focus: ['bond'] });
    expect(smallestText(scene) * (300 / scene.width)).toBeGreaterThanOrEqual(12);
  });

  test('holds its text at 7 pt or more across 520 pt of paper', () => {
    const scene = circuitDrawing(plain(12, 'wide'));
    expect(smallestText(scene) * (520 / scene.width)).toBeGreaterThanOrEqual(7);
  });
});

describe('words in the circuit drawing', () => {
  test.each(cases)(
    'do not overlap or leave the picture with $count outlets, $layout',
    ({ layout, count }) => {
      expect(crowdedTexts(circuitDrawing(plain(count, layout)))).toEqual([]);
    },
  );

  test('of a length stay within it, so that no device stands over them', () => {
    for (const count of counts) {
      const input = plain(count, 'wide');
      const { circuit } = input;
      for (const part of circuitDrawing(input).shapes) {
        if (part.kind !== 'part' || !segmentsOf(circuit).some((s) => s === part.name) || part.name === 'bond')
          continue;
        const room = part.shapes.find((s) => !isVisible(s));
        for (const word of part.shapes)
          if (word.kind === 'text' && room?.kind === 'rect')
            // What may be touched of a length ends at most 8 short of the stops at its ends.
            expect(textBox(word).right - textBox(word).left).toBeLessThanOrEqual(room.width + 16);
      }
    }
  });

  test.each([
    ['anywhere', marked()],
    ['in two places', marked(2)],
  ])('do not overlap whatever is broken, held or looked at %s', (_where, arbitrary) => {
    fc.assert(
      fc.property(arbitrary, (input) => {
        for (const layout of layouts) expect(crowdedTexts(circuitDrawing({ ...input, layout }))).toEqual([]);
      }),
      { numRuns: 150 },
    );
  });

  test.each(layouts)('are never painted over by the field of the present step, %s', (layout) => {
    for (const focus of placesOf(circuitWith(3))) {
      const shapes = shapesOf(circuitDrawing({ ...plain(3, layout), focus: [focus] }));
      const covered = shapes.flatMap((field, k) =>
        field.kind === 'rect' && field.look === 'focus filled'
          ? shapes.slice(0, k).filter((word) => word.kind === 'text' && meets(textBox(word), field))
          : [],
      );
      expect([focus, covered]).toEqual([focus, []]);
    }
  });

  test.each(layouts)('of marks on the cord stay clear of the word outside the skin, %s', (layout) => {
    const holds = ['AA00A,.a0 ,', '.'].map((word) => ({ place: 'cord' as const, word }));
    expect(crowdedTexts(circuitDrawing({ ...plain(3, layout), holds }))).toEqual([]);
  });

  test.each(layouts)('of many marks on the bond go into further rows inside the picture, %s', (layout) => {
    const word = 'the bond is loose at the chassis and its washer is missing';
    for (const many of [1, 2, 3, 6])
      for (const count of counts) {
        const defects = Array.from({ length: many }, () => ({ place: 'bond' as const, word }));
        const holds = [{ place: 'bond' as const, word }];
        expect(crowdedTexts(circuitDrawing({ ...plain(count, layout), defects, holds }))).toEqual([]);
      }
  });

  test('cut a long place with an ellipsis and give it whole in the description', () => {
    const place = 'over the type cabinet behind the folding stool and the paper store';
    for (const layout of layouts) {
      const scene = circuitDrawing(plain(4, layout));
      expect(textsOf(scene).some((t) => t.text.endsWith('…'))).toBe(true);
      expect(scene.description).toContain(place);
    }
  });
});

describe('the description of the circuit drawing', () => {
  test('names every outlet with its place, every length with its size, every conductor with its progress', () => {
    const input = plain(8, 'wide');
    const { description } = circuitDrawing(input);
    for (const [k, o] of input.circuit.run.entries()) {
      expect(description).toContain(`Outlet ${k + 1}, `);
      expect(description).toContain(o.place);
      expect(description).toMatch(new RegExp(`Feed to outlet ${k + 1}.*12 AWG`));
    }
    expect(description).toContain('Cord, 12 AWG SJTW, 7.6 m: hot, neutral and ground planned.');
  });

  test('says of a cord that it is as bought until it is proven, since nobody lands or pulls it', () => {
    const { description } = circuitDrawing({ ...plain(1, 'wide'), progress: () => 'landed' });
    expect(description).toMatch(/Cord, [^:]*: hot, neutral and ground as bought\./);
    expect(description).toMatch(/Feed to outlet 1[^:]*: hot, neutral and ground landed and pulled\./);
  });

  test('says the same in both layouts', () => {
    const of = (layout: 'wide' | 'narrow') => circuitDrawing(plain(5, layout)).description;
    expect(of('narrow')).toBe(of('wide'));
  });

  test('names every defect, every hold and the present step', () => {
    fc.assert(
      fc.property(marked(), (input) => {
        const { description } = circuitDrawing({ ...input, layout: 'wide' });
        for (const { word } of [...input.defects, ...input.holds]) expect(description).toContain(word);
        expect(description.includes('This page is about')).toBe(input.focus !== undefined);
      }),
      { numRuns: 60 },
    );
  });

  test('gives lengths in feet where the shop writes feet', () => {
    expect(circuitDrawing({ ...plain(1, 'wide'), lengthUnit: 'ft' }).description).toContain('24.9 ft');
  });
});

test('every stage has a place across the run where its hold stands', () => {
  const circuit = circuitWith(3);
  for (const stage of stageIds) expect(placesOf(circuit)).toContain(placeOfStageHold(stage, circuit));
});

function meets(box: ReturnType<typeof textBox>, field: Extract<Shape, { kind: 'rect' }>): boolean {
  return (
    box.left < field.x + field.width &&
    field.x < box.right &&
    box.top < field.y + field.height &&
    field.y < box.bottom
  );
}

/** Circuits with marks on any of their places, or crowded on so many. */
function marked(crowdedOn?: number): fc.Arbitrary<Omit<CircuitDrawingInput, 'layout'>> {
  const word = fc.stringMatching(/^[A-Za-z0-9 ,.-]{1,60}$/);
  const some = fc.integer({ min: 1, max: 8 }).chain((count) => {
    const circuit = circuitWith(count);
    const all = placesOf(circuit);
    const length = crowdedOn ?? all.length;
    return fc
      .shuffledSubarray(all, { minLength: length, maxLength: length })
      .map((places) => ({ circuit, places }));
  });
  return some.chain(({ circuit, places }) => {
    const place = fc.constantFrom(...places);
    const defect: fc.Arbitrary<CircuitDefect> = fc.record({
      place,
      conductor: fc.option(fc.constantFrom(...conductors), { nil: undefined }),
      word,
    });
    const hold: fc.Arbitrary<CircuitHold> = fc.record({ place, word });
    return fc.record({
      circuit: fc.constant(circuit),
      progress: fc.constantFrom<Progress>('planned', 'landed', 'dead', 'live').map((p) => () => p),
      defects: fc.array(defect, { maxLength: 6 }),
      holds: fc.array(hold, { maxLength: 4 }),
      focus: fc.option(fc.array(place, { minLength: 1, maxLength: 4 }), { nil: undefined }),
      lengthUnit: fc.constantFrom('m' as const, 'ft' as const),
    });
  });
}
