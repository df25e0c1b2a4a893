import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { circuitDrawing } from '../../src/drawing/circuit-drawing.js';
import { line, rect, type Scene, shapesOf, text } from '../../src/drawing/scene.js';
import { sceneToSvg } from '../../src/drawing/scene-to-svg.js';
import { circuitWith, hostileWords } from './drawing-circuit.js';
import { readXml } from './read-xml.js';

const scene = (words: string): Scene => ({
  width: 100,
  height: 50,
  title: words,
  description: words,
  shapes: [
    text(1, 10, words),
    { kind: 'part', name: words, title: words, href: '/x', shapes: [rect(0, 0, 9, 9, 'ink touch')] },
  ],
});
const draw = (words: string) =>
  circuitDrawing({
    circuit: circuitWith(3, () => words.slice(0, 80)),
    layout: 'wide',
    progress: () => 'landed',
    defects: [{ place: 'feed:out2', word: words }],
    holds: [{ place: 'cord', word: words }],
    href: (place) => `/jobs/7/parts/${place}`,
  });

describe('a scene as SVG', () => {
  test('is well formed and keeps hostile words as text', () => {
    fc.assert(
      fc.property(fc.oneof(fc.constantFrom(...hostileWords), fc.string({ unit: 'binary' })), (words) => {
        const { names, texts } = readXml(sceneToSvg(scene(words), 'd'));
        expect(names).toEqual(['svg', 'title', 'desc', 'text', 'a', 'title', 'rect']);
        expect(new Set(texts.map(strip))).toEqual(new Set(texts.length === 0 ? [] : [strip(words)]));
        expect(texts).toHaveLength(words === '' ? 0 : 4);
      }),
      { numRuns: 300 },
    );
  });

  test('holds the words that a wider face would carry over an edge to their own width, and no others', () => {
    const svg = (x: number, anchor: 'start' | 'end', words: string) =>
      sceneToSvg(
        { width: 100, height: 50, title: 't', description: 'd', shapes: [text(x, 10, words, { anchor })] },
        'd',
      );
    // "Outlet" at 14 units: 664 + 544 + 338 + 255 + 496 + 338 thousandths of the size.
    expect(svg(60, 'start', 'Outlet')).toContain(' textLength="36.89" lengthAdjust="spacingAndGlyphs"');
    expect(svg(40, 'end', 'Outlet')).toContain(' textLength="36.89"');
    expect(svg(10, 'start', 'Outlet')).not.toContain('textLength');
    expect(svg(60, 'start', 'Розетка')).not.toContain('textLength');
  });

  test.each(hostileWords)('draws the circuit well formed with an outlet at %j', (words) => {
    const { names } = readXml(sceneToSvg(draw(words), 'd'));
    expect(new Set(names)).toEqual(
      new Set(['svg', 'title', 'desc', 'rect', 'line', 'path', 'text', 'a', 'circle', 'polyline', 'polygon']),
    );
  });

  test('carries no style, script or handler, which the page would refuse', () => {
    const svg = sceneToSvg(draw('a plain place'), 'd');
    expect(svg).not.toMatch(/<(style|script)|\sstyle=|\son[a-z]+=/i);
  });

  test('is one image without links, and a group of named links with them', () => {
    const plain = sceneToSvg({ ...scene('x'), shapes: [line(0, 0, 1, 1, 'ink')] }, 'p');
    expect(plain).toContain('role="img" aria-labelledby="p-title" aria-describedby="p-desc"');
    const linked = sceneToSvg(draw('x'), 'd');
    expect(linked).toContain('role="group"');
    // By its title alone: a label beside it would be told as a name, and the title after it once more.
    expect(linked).toContain(
      '<a href="/jobs/7/parts/outlet:out2" class="d-part"><title>Outlet 2, receptacle, 15 A, x</title>',
    );
    expect(linked).not.toContain('aria-label=');
  });

  test('has one element for each shape', () => {
    const drawn = draw('x');
    const { names } = readXml(sceneToSvg(drawn, 'd'));
    const parts = drawn.shapes.filter((s) => s.kind === 'part').length;
    expect(names).toHaveLength(shapesOf(drawn).length + 2 * parts + 3);
  });

  test.each(['javascript:alert(1)', 'https://elsewhere.example/', '//elsewhere.example', 'data:text/html,x'])(
    'refuses to lead to %s',
    (href) => {
      const part = { kind: 'part', name: 'x', title: 'x', href, shapes: [] } as const;
      expect(() => sceneToSvg({ ...scene('x'), shapes: [part] }, 'd')).toThrow(RangeError);
    },
  );

  test.each(['', '1a', 'a b', 'a"'])('refuses the id prefix %j', (idPrefix) => {
    expect(() => sceneToSvg(scene('x'), idPrefix)).toThrow(RangeError);
  });

  test('refuses a number that is not finite', () => {
    expect(() => sceneToSvg({ ...scene('x'), shapes: [line(0, Number.NaN, 1, 1, 'ink')] }, 'd')).toThrow(
      RangeError,
    );
  });
});

/** What the drawing may replace in a text: characters that XML lacks or that turn the reading direction; line ends as XML reads them. */
function strip(words: string): string {
  return words.replace(
    /[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFC}\u{10000}-\u{10FFFF}]|[\u{202A}-\u{202E}\u{2066}-\u{2069}]/gu,
    '',
  );
}
