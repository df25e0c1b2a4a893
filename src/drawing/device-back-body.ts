import type { Circuit } from '../circuit/circuit.js';
import { chassisSign } from './circuit-marks.js';
import { type Back, box, boxArea, jacket, screw, small, type Wire } from './device-back-parts.js';
import type { Conductor } from './place.js';
import { circle, type PlainShape, type Point, rect, text } from './scene.js';

const inY = boxArea.top + 8;
const outY = boxArea.top + boxArea.height - 8;
const centre = boxArea.middle;

/** The inlet from inside the van: three terminals, and the bond on a ground terminal of its own. */
export function inletBack(): Back {
  const middle = 172;
  const reach = 62;
  const [left, right] = [centre - reach + 4, centre + reach - 4];
  const upper = 150;
  const lower = 192;
  return {
    fixed: [...box(), ...jacket('above', 'to the breaker'), circle(centre, middle, reach, 'ink boxed')],
    wires: [
      wire(
        'hot',
        'hot',
        [
          [centre - 12, inY],
          [centre - 12, inY + 20],
          [58, inY + 20],
          [58, upper],
          [left, upper],
        ],
        [92, inY + 20],
        'Hot on the brass terminal',
      ),
      wire(
        'neutral',
        'neutral',
        [
          [centre, inY],
          [centre, inY + 20],
          [242, inY + 20],
          [242, upper],
          [right, upper],
        ],
        [212, inY + 20],
        'Neutral on the silver terminal',
      ),
      wire(
        'ground',
        'ground',
        [
          [centre + 12, inY],
          [centre + 12, inY + 8],
          [272, inY + 8],
          [272, lower],
          [right - 14, lower],
        ],
        [244, inY + 8],
        'Ground on the green terminal',
      ),
      wire(
        'inlet-end',
        'ground',
        [
          [centre, middle + reach - 10],
          [centre, outY + 16],
        ],
        undefined,
        'Bond on a ground terminal of its own, or by a pigtail in a splice',
        [centre, middle + reach - 10],
      ),
    ],
    over: [
      ...screw(left, upper, 'brass'),
      ...screw(right, upper, 'silver'),
      ...screw(right - 14, lower, 'green'),
      ...screw(centre, middle + reach - 10, 'green'),
      ...named(left + 24, upper, 'start', 'H', 'brass', 'hot'),
      ...named(right - 24, upper, 'end', 'N', 'silver', 'neutral'),
      text(right - 38, lower + 4.5, 'G', { size: small, anchor: 'end', weight: 'bold', look: 'ground' }),
      text(right - 52, lower + 4.5, 'green', { size: small, anchor: 'end', look: 'muted' }),
      ...chassisSign(centre, outY + 16),
      text(centre + 18, outY + 26, 'bond, to bare body steel', { size: small, look: 'muted' }),
    ],
    notes: ['One wire a terminal. The bond has its own, or a pigtail in a splice.'],
  };
}

/** The breaker's box: hot through the breaker, neutrals on an insulated bar, grounds on a bar of their own. */
export function breakerBack(circuit: Circuit): Back {
  const metal = circuit.breaker.box?.material === 'metal';
  const [top, bottom] = [122, 210];
  const [breakerX, groundX] = [76, 250];
  const across = (landing: string, conductor: Conductor, x: number, words: string): Wire => {
    const incoming = landing.startsWith('in-');
    const start = centre + (conductor === 'hot' ? -12 : conductor === 'ground' ? 12 : 0);
    const [from, turn, end] = incoming ? [inY, inY + 18, top] : [outY, outY - 18, bottom];
    const points: Point[] =
      x === start
        ? [
            [x, from],
            [x, end],
          ]
        : [
            [start, from],
            [start, turn],
            [x, turn],
            [x, end],
          ];
    const letterAt: Point = conductor === 'neutral' ? [x, (turn + end) / 2] : [(start + x) / 2, turn];
    return wire(landing, conductor, points, letterAt, words, [x, end]);
  };
  return {
    fixed: [
      ...box(),
      ...jacket('above', 'from the inlet'),
      ...jacket('below', 'feed 1, to outlet 1'),
      rect(breakerX - 28, top - 16, 56, bottom - top + 32, 'ink boxed', 4),
      rect(centre - 10, top - 14, 20, bottom - top + 28, 'silver outlined', 3),
      rect(groundX - 10, top - 14, 20, bottom - top + 28, 'green outlined', 3),
    ],
    wires: [
      across('in-hot', 'hot', breakerX, 'Hot from the inlet on the breaker’s supply side'),
      across('out-hot', 'hot', breakerX, 'Hot of feed 1 on the breaker’s load side'),
      across('in-neutral', 'neutral', centre, 'Neutral from the inlet on the insulated neutral bar'),
      across('out-neutral', 'neutral', centre, 'Neutral of feed 1 on the insulated neutral bar'),
      across('in-ground', 'ground', groundX, 'Ground from the inlet on the ground bar'),
      across('out-ground', 'ground', groundX, 'Ground of feed 1 on the ground bar'),
      ...(metal
        ? [
            wire(
              'box-ground',
              'ground',
              [
                [groundX, 166],
                [292, 166],
                [292, 196],
              ],
              undefined,
              'Bond of the metal box on the ground bar',
              [groundX, 166],
            ),
          ]
        : []),
    ],
    over: [
      ...[top, bottom].flatMap((y) => [
        ...screw(breakerX, y, 'brass'),
        ...screw(centre, y, 'silver'),
        ...screw(groundX, y, 'green'),
      ]),
      ...(metal ? [...screw(groundX, 166, 'green'), ...screw(292, 196, 'green')] : []),
      text(breakerX, 158, 'breaker', { size: small, anchor: 'middle', look: 'muted' }),
      text(breakerX, 175, `${circuit.breaker.amps} A`, { size: small, anchor: 'middle', weight: 'bold' }),
      text(centre + 16, 144, 'neutral', { size: small, look: 'muted' }),
      text(centre + 16, 160, 'bar', { size: small, look: 'muted' }),
      text(groundX - 16, 184, 'ground', { size: small, anchor: 'end', look: 'muted' }),
      text(groundX - 16, 200, 'bar', { size: small, anchor: 'end', look: 'muted' }),
    ],
    notes: [
      'The neutral bar stands on insulation: bonding screw or strap taken out. Nothing else on the breaker.',
    ],
  };
}

function wire(
  landing: string,
  conductor: Conductor,
  points: readonly Point[],
  letterAt: Point | undefined,
  words: string,
  end: Point = points.at(-1)!,
): Wire {
  return { landing, conductor, points, ...(letterAt ? { letterAt } : {}), end, words };
}

function named(
  x: number,
  y: number,
  anchor: 'start' | 'end',
  letter: string,
  metal: string,
  look: Conductor,
): PlainShape[] {
  return [
    text(x, y + 4.5, letter, { size: small, anchor, weight: 'bold', look }),
    text(x, y + 21, metal, { size: small, anchor, look: 'muted' }),
  ];
}
