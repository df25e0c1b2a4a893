import { type Circuit, type Outlet, outletNumber } from '../circuit/circuit.js';
import { type Back, box, boxArea, jacket, screw, small, splice, type Wire } from './device-back-parts.js';
import { type PlainShape, rect, text } from './scene.js';

const body = { left: 98, right: 214, top: 98, bottom: 234 };
const upper = 133;
const lower = 204;
const middle = 166;
const spliceX = 266;
const feedY = boxArea.top + 8;
const runY = boxArea.top + boxArea.height - 8;

/** The back of a receptacle or a ground-fault device, feed from above, run to below, grounds spliced at the side. */
export function outletBack(circuit: Circuit, outlet: Outlet): Back {
  const number = outletNumber(circuit, outlet.id);
  const hasRun = number < circuit.run.length;
  const isDevice = outlet.device === 'gfci-receptacle';
  const metal = outlet.box.material === 'metal';
  const spliced = hasRun || metal;
  const from = number === 1 ? 'feed, from the breaker' : `feed, from outlet ${number - 1}`;
  return {
    fixed: [
      ...box(),
      rect(body.left, body.top, body.right - body.left, body.bottom - body.top, 'ink boxed', 6),
      ...jacket('above', from),
      ...(hasRun ? jacket('below', `run, to outlet ${number + 1}`) : []),
    ],
    wires: [...poleWires(isDevice, hasRun), ...groundWires(hasRun, metal, spliced)],
    over: [
      ...[upper, lower].flatMap((y) => [...screw(body.left, y, 'brass'), ...screw(body.right, y, 'silver')]),
      ...screw(body.right, middle, 'green'),
      ...(spliced ? splice(spliceX, middle) : []),
      ...(metal ? [...screw(292, 214, 'green')] : []),
      ...bodyWords(isDevice),
    ],
    notes: [
      sides(isDevice, hasRun),
      ...(spliced
        ? ['Grounds are spliced; a pigtail goes to the device, so that none carries the run.']
        : []),
    ],
  };
}

function sides(isDevice: boolean, hasRun: boolean): string {
  if (isDevice)
    return hasRun
      ? 'Feed on LINE, run on LOAD. One wire a screw.'
      : 'Feed on LINE; LOAD stays free. One wire a screw.';
  return hasRun
    ? 'A second screw for each pole. One wire a screw.'
    : 'One wire a screw; the second of each pole stays free.';
}

function bodyWords(isDevice: boolean): PlainShape[] {
  const centre = (body.left + body.right) / 2;
  const bold = { size: small, anchor: 'middle', weight: 'bold' } as const;
  const pole = (y: number): PlainShape[] => [
    text(body.left + 26, y + 4.5, 'H', { ...bold, look: 'hot' }),
    text(body.right - 26, y + 4.5, 'N', { ...bold, look: 'neutral' }),
  ];
  return [
    ...pole(upper),
    ...pole(lower),
    text(body.right - 26, middle + 4.5, 'G', { ...bold, look: 'ground' }),
    text(body.left + 8, body.top + 14, 'brass', { size: small, look: 'muted' }),
    text(body.right - 38, middle + 4.5, 'green', { size: small, anchor: 'end', look: 'muted' }),
    text(body.right - 8, body.top + 14, 'silver', { size: small, anchor: 'end', look: 'muted' }),
    ...(isDevice ? [text(centre, upper + 4.5, 'LINE', bold), text(centre, lower + 4.5, 'LOAD', bold)] : []),
  ];
}

function poleWires(isDevice: boolean, hasRun: boolean): Wire[] {
  const pole = (cable: 'feed' | 'run', conductor: 'hot' | 'neutral'): Wire => {
    const hot = conductor === 'hot';
    const start = boxArea.middle + (hot ? -12 : 0);
    const [from, turn, y] = cable === 'feed' ? [feedY, feedY + 20, upper] : [runY, runY - 20, lower];
    const side = hot ? body.left - 32 : body.right + 26;
    const end = hot ? body.left : body.right;
    const screwWords = `${isDevice ? (cable === 'feed' ? 'LINE, ' : 'LOAD, ') : cable === 'run' ? 'second ' : ''}${hot ? 'brass' : 'silver'} screw`;
    return {
      landing: `${cable}-${conductor}`,
      conductor,
      points: [
        [start, from],
        [start, turn],
        [side, turn],
        [side, y],
        [end, y],
      ],
      letterAt: [hot ? body.left - 4 : body.right - 14, turn],
      end: [end, y],
      words: `${hot ? 'Hot' : 'Neutral'} of the ${cable} on the ${screwWords}`,
    };
  };
  return [
    pole('feed', 'hot'),
    pole('feed', 'neutral'),
    ...(hasRun ? [pole('run', 'hot'), pole('run', 'neutral')] : []),
  ];
}

function groundWires(hasRun: boolean, metal: boolean, spliced: boolean): Wire[] {
  const x = boxArea.middle + 12;
  const feed = {
    landing: 'feed-ground',
    conductor: 'ground' as const,
    letterAt: [spliceX - 22, feedY + 8] as const,
  };
  const above = [
    [x, feedY],
    [x, feedY + 8],
    [spliceX, feedY + 8],
  ] as const;
  if (!spliced)
    return [
      {
        ...feed,
        points: [...above, [spliceX, middle], [body.right, middle]],
        end: [body.right, middle],
        words: 'Ground of the feed on the green screw',
      },
    ];
  const ground = (landing: string, points: Wire['points'], end: Wire['end'], words: string): Wire => ({
    landing,
    conductor: 'ground',
    points,
    end,
    words,
  });
  const tail = [
    [spliceX, middle],
    [body.right, middle],
  ] as const;
  const toBox = [
    [spliceX, middle],
    [292, middle],
    [292, 214],
  ] as const;
  return [
    {
      ...feed,
      points: [...above, [spliceX, middle]],
      end: [spliceX, middle - 30],
      words: 'Ground of the feed in the ground splice',
    },
    ...(hasRun
      ? [
          {
            ...ground(
              'run-ground',
              [
                [x, runY],
                [x, runY - 8],
                [spliceX, runY - 8],
                [spliceX, middle],
              ],
              [spliceX, middle + 30],
              'Ground of the run in the ground splice',
            ),
            letterAt: [spliceX - 22, runY - 8] as const,
          },
        ]
      : []),
    ground(
      'pigtail-splice',
      tail,
      [spliceX - 24, middle],
      'One end of a ground pigtail in the ground splice',
    ),
    ground('pigtail-device', tail, [body.right, middle], 'Its other end on the green screw'),
    ...(metal
      ? [
          ground('box-splice', toBox, [spliceX, middle], 'One end of the box’s pigtail in the ground splice'),
          ground('box-screw', toBox, [292, 214], 'Its other end on the box’s ground screw'),
        ]
      : []),
  ];
}
