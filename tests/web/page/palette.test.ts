import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { tones as drawn } from '../../../src/drawing/appearance.js';

const css = readFileSync(new URL('../../../views/style/tones.css', import.meta.url), 'utf8');
/** The tones of each theme; the dark one says all of them anew, so that none is forgotten. */
const themes = Object.fromEntries(
  [...css.matchAll(/:root \{([^}]*)\}/g)]
    .slice(0, 2)
    .map((block, k) => [
      k === 0 ? 'by day' : 'by lamplight',
      Object.fromEntries(
        [...(block[1] as string).matchAll(/--([a-z-]+):\s*(#[0-9a-f]{6})/g)].map((m) => [m[1], m[2]]),
      ) as Record<string, string>,
    ]),
);
const each = Object.entries(themes);

/** @source WCAG 2.2, relative luminance and contrast ratio */
function contrast(a: string, b: string): number {
  const luminance = (hex: string) => {
    const [r, g, b] = [1, 3, 5].map((at) => {
      const part = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
      return part <= 0.040_45 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
    }) as [number, number, number];
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

const grounds = ['paper', 'sheet', 'wash', 'field'];
const texts = ['ink', 'soft', 'copper', 'copper-deep'];

test('both themes say the same tones', () => {
  expect(each.map(([name]) => name)).toEqual(['by day', 'by lamplight']);
  expect(Object.keys(themes['by lamplight'] ?? {})).toEqual(Object.keys(themes['by day'] ?? {}));
});

test.each(
  each.flatMap(([theme, tones]) =>
    grounds.flatMap((ground) => texts.map((text) => ({ theme, text, ground, tones }))),
  ),
)('$theme, text in $text on $ground can be read in the sun (7:1)', ({ text, ground, tones }) => {
  expect(contrast(tones[text] as string, tones[ground] as string)).toBeGreaterThanOrEqual(7);
});

test.each(each)('%s, words on the copper button can be read in the sun (7:1)', (_theme, tones) => {
  for (const copper of ['copper', 'copper-deep'])
    expect(contrast(tones['on-copper'] as string, tones[copper] as string)).toBeGreaterThanOrEqual(7);
});

test.each(
  each.flatMap(([theme, tones]) => ['paper', 'sheet', 'field'].map((ground) => ({ theme, ground, tones }))),
)('$theme, the edge of a field shows on $ground (3:1)', ({ ground, tones }) => {
  expect(contrast(tones.edge as string, tones[ground] as string)).toBeGreaterThanOrEqual(3);
});

// The drawing's tones by lamplight, against the sheet they lie on; brass, silver and green are fills that words never stand on.
const drawing = readFileSync(new URL('../../../views/style/drawing.css', import.meta.url), 'utf8');
const inks = [...drawing.matchAll(/\.d-([a-z]+) \{\s*--tone: (#[0-9a-f]{6})/g)].map(
  (m) => [m[1], m[2]] as [string, string],
);

test('by lamplight every tone of a drawing is turned over', () => {
  expect(inks.map(([name]) => name).sort()).toEqual(
    Object.keys(drawn)
      .filter((name) => name !== 'ink')
      .sort(),
  );
});

const worded = ['muted', 'accent', 'hot', 'neutral', 'ground', 'defect', 'hold'] as const;

test.each(worded)('by day words of a drawing in %s can be read in the sun (7:1)', (tone) => {
  for (const ground of [drawn.paper, drawn.inside])
    expect(contrast(drawn[tone], ground)).toBeGreaterThanOrEqual(7);
});

test.each(worded)('by lamplight words of a drawing in %s stand at 7:1 too', (tone) => {
  const ink = inks.find(([name]) => name === tone)?.[1] as string;
  const lamplit = [themes['by lamplight']?.sheet, inks.find(([name]) => name === 'inside')?.[1]] as string[];
  for (const ground of lamplit) expect(contrast(ink, ground)).toBeGreaterThanOrEqual(7);
});
