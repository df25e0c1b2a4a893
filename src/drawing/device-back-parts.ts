import { letters } from './circuit-marks.js';
import type { Conductor } from './place.js';
import { circle, line, type PlainShape, type Point, path, rect, text } from './scene.js';

/** A conductor in a box: where it runs, where its letter stands, and where it ends on its terminal. */
export interface Wire {
  /** The landing's word, as the steps name it: "feed-hot", "pigtail-device". */
  readonly landing: string;
  readonly conductor: Conductor;
  readonly points: readonly Point[];
  /** Where the letter stands; a short tail has none. */
  readonly letterAt?: Point;
  /** The end that is landed, around which a mark is drawn. */
  readonly end: Point;
  readonly words: string;
}

/** The back of one device: what is fixed, and the wires that come to it. */
export interface Back {
  readonly fixed: readonly PlainShape[];
  readonly wires: readonly Wire[];
  /** Drawn over the wires: splices and the words on the device. */
  readonly over: readonly PlainShape[];
  readonly notes: readonly string[];
}

/** Height of the picture of the box, with its cables. */
export const boxArea = { left: 12, top: 54, width: 296, height: 224, middle: 156 };
export const small = 13;

export function box(): PlainShape[] {
  return [rect(boxArea.left, boxArea.top, boxArea.width, boxArea.height, 'faint line', 8)];
}

/** The jacket of a cable that enters from above or from below, with its word beside it. */
export function jacket(from: 'above' | 'below', words: string): PlainShape[] {
  const y = from === 'above' ? 32 : boxArea.top + boxArea.height - 8;
  return [
    rect(boxArea.middle - 20, y, 40, 30, 'faint outlined', 3),
    text(boxArea.middle + 28, from === 'above' ? y + 14 : y + 26, words, { size: small, look: 'muted' }),
  ];
}

/** A screw with its slot; brass, silver or green. */
export function screw(x: number, y: number, metal: 'brass' | 'silver' | 'green'): PlainShape[] {
  return [circle(x, y, 9, `${metal} outlined`), line(x - 5, y + 4, x + 5, y - 4, 'ink line')];
}

/** Where conductors are joined: a cap over them. */
export function splice(x: number, y: number): PlainShape[] {
  return [
    circle(x, y, 12, 'green outlined'),
    text(x, y + 4.5, 'G', { size: small, anchor: 'middle', weight: 'bold' }),
  ];
}

/** The wire as a line with rounded corners. */
export function wireShapes(wire: Wire): PlainShape[] {
  const [x, y] = wire.letterAt ?? [0, 0];
  return [
    path(rounded(wire.points), `${wire.conductor} dead`),
    ...(wire.letterAt
      ? [
          circle(x, y, 8, 'paper filled'),
          text(x, y + 4.5, letters[wire.conductor], {
            size: small,
            anchor: 'middle',
            weight: 'bold',
            look: wire.conductor,
          }),
        ]
      : []),
  ];
}

function rounded(points: readonly Point[]): string {
  const radius = 8;
  return points
    .map(([x, y], i) => {
      const [before, after] = [points[i - 1], points[i + 1]];
      if (!before) return `M${x} ${y}`;
      if (!after) return `L${x} ${y}`;
      const near = ([px, py]: Point): Point => {
        const away = Math.min(radius, Math.hypot(px - x, py - y) / 2);
        const turn = Math.hypot(px - x, py - y) || 1;
        return [x + ((px - x) * away) / turn, y + ((py - y) * away) / turn];
      };
      const [ax, ay] = near(before);
      const [bx, by] = near(after);
      return `L${ax} ${ay}Q${x} ${y} ${bx} ${by}`;
    })
    .join('');
}
