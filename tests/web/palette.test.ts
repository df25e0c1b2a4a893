import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const css = readFileSync(new URL('../../views/assets/inlet.css', import.meta.url), 'utf8');
const tones = Object.fromEntries(
  [...css.matchAll(/--([a-z-]+):\s*(#[0-9a-f]{6})/g)].map((m) => [m[1], m[2]] as const),
) as Record<string, string>;

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

const grounds = ['paper', 'sheet', 'wash'];
const texts = ['ink', 'soft', 'copper', 'copper-deep'];

test.each(grounds.flatMap((ground) => texts.map((text) => [text, ground] as const)))(
  'text in %s on %s can be read in the sun (7:1)',
  (text, ground) => {
    expect(contrast(tones[text] as string, tones[ground] as string)).toBeGreaterThanOrEqual(7);
  },
);

test('words on the copper button can be read in the sun (7:1)', () => {
  expect(contrast('#ffffff', tones.copper as string)).toBeGreaterThanOrEqual(7);
});

test.each(['paper', 'sheet'])('the edge of a field shows on %s (3:1)', (ground) => {
  expect(contrast(tones.edge as string, tones[ground] as string)).toBeGreaterThanOrEqual(3);
});
