import { circle, line, type PlainShape, path, type Scene, text } from './scene.js';

/** Which of a tester's three lamps light: each stands between two slots. */
export interface LampsLit {
  readonly hotNeutral: boolean;
  readonly hotGround: boolean;
  readonly neutralGround: boolean;
}

const width = 176;
const height = 74;

/**
 * Three lamps by the slots they stand between; a lit lamp is filled and has rays, a dark one is an empty ring with a stroke. Makers order
 * their lamps as they like, so the slots are named under each.
 */
export function lampPattern(lamps: LampsLit): Scene {
  const rows = [
    { pair: 'H–N', words: 'hot to neutral', lit: lamps.hotNeutral },
    { pair: 'H–G', words: 'hot to ground', lit: lamps.hotGround },
    { pair: 'N–G', words: 'neutral to ground', lit: lamps.neutralGround },
  ];
  return {
    width,
    height,
    title: 'Three lamps',
    description: `${rows.map(({ words, lit }) => `${words} ${lit ? 'lit' : 'dark'}`).join(', ')}.`,
    shapes: rows.flatMap(({ pair, lit }, i) => {
      const x = 32 + i * 56;
      return [
        ...lamp(x, 28, lit),
        text(x, 68, pair, { size: 14, anchor: 'middle', weight: lit ? 'bold' : 'regular' }),
      ];
    }),
  };
}

function lamp(x: number, y: number, lit: boolean): PlainShape[] {
  if (!lit) return [circle(x, y, 11, 'muted line'), line(x - 7.8, y + 7.8, x + 7.8, y - 7.8, 'muted line')];
  const rays = Array.from({ length: 8 }, (_, i) => {
    const [across, down] = [Math.cos((i * Math.PI) / 4), Math.sin((i * Math.PI) / 4)];
    const at = (r: number) => `${(x + across * r).toFixed(2)} ${(y + down * r).toFixed(2)}`;
    return `M${at(15)}L${at(21)}`;
  });
  return [circle(x, y, 11, 'focus outlined'), circle(x, y, 4, 'ink filled'), path(rays.join(''), 'ink tick')];
}
