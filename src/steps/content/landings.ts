import type { Circuit, Outlet } from '../../circuit/circuit.js';

/** One conductor at one terminal: what is landed where, whether the terminal is a screw that takes a torque. */
export interface Landing {
  /** Permanent word for the conductor's end, unique at its device. */
  readonly id: string;
  readonly conductor: 'hot' | 'neutral' | 'ground';
  readonly wire: string;
  readonly terminal: string;
  readonly screw: boolean;
  /** The screw belongs to a bar or a box and not to the device: the device's marking says nothing of it. */
  readonly apart?: boolean;
}

const apart = (landed: Landing): Landing => ({ ...landed, apart: true });

const landing = (
  id: string,
  conductor: Landing['conductor'],
  wire: string,
  terminal: string,
  screw = true,
): Landing => ({ id, conductor, wire, terminal, screw });

/** The three conductors at the inlet. */
export function inletLandings(): Landing[] {
  return [
    landing('hot', 'hot', 'Hot', 'the brass terminal'),
    landing('neutral', 'neutral', 'Neutral', 'the silver terminal'),
    landing('ground', 'ground', 'Ground', 'the green terminal'),
  ];
}

/** Every conductor in the breaker's box: in from the inlet, out to the first outlet. */
export function breakerLandings(circuit: Circuit): Landing[] {
  return [
    landing('in-hot', 'hot', 'Hot from the inlet', 'the breaker’s supply side'),
    landing('out-hot', 'hot', 'Hot of feed 1', 'the breaker’s load side'),
    apart(landing('in-neutral', 'neutral', 'Neutral from the inlet', 'the insulated neutral bar')),
    apart(landing('out-neutral', 'neutral', 'Neutral of feed 1', 'the insulated neutral bar')),
    apart(landing('in-ground', 'ground', 'Ground from the inlet', 'the ground bar')),
    apart(landing('out-ground', 'ground', 'Ground of feed 1', 'the ground bar')),
    ...(circuit.breaker.box?.material === 'metal'
      ? [apart(landing('box-ground', 'ground', 'Bond of the metal box', 'the ground bar'))]
      : []),
  ];
}

/** Both ends of the bond to the body. */
export function bondLandings(): Landing[] {
  return [
    landing(
      'inlet-end',
      'ground',
      'Bond',
      'the inlet’s ground: its own terminal, a pigtail in a splice, or the ground bar',
    ),
    landing('body-end', 'ground', 'Bond, crimped ring', 'bare body steel'),
  ];
}

/**
 * Every conductor in an outlet's box, in the order in which they are landed: grounds first, then neutral, then hot. A
 * ground-fault device takes the feed on LINE and the run on LOAD; a receptacle has a second screw for each pole.
 */
export function outletLandings(circuit: Circuit, outlet: Outlet): Landing[] {
  const run = circuit.run[circuit.run.indexOf(outlet) + 1] !== undefined;
  const device = outlet.device === 'gfci-receptacle';
  const feedSide = device ? 'LINE, ' : '';
  const runSide = device ? 'LOAD, ' : 'second ';
  return [
    ...groundLandings(outlet, run),
    landing('feed-neutral', 'neutral', 'Neutral of the feed', `${feedSide}silver screw`),
    ...(run ? [landing('run-neutral', 'neutral', 'Neutral of the run', `${runSide}silver screw`)] : []),
    landing('feed-hot', 'hot', 'Hot of the feed', `${feedSide}brass screw`),
    ...(run ? [landing('run-hot', 'hot', 'Hot of the run', `${runSide}brass screw`)] : []),
  ];
}

function groundLandings(outlet: Outlet, run: boolean): Landing[] {
  const metal = outlet.box.material === 'metal';
  if (!run && !metal) return [landing('feed-ground', 'ground', 'Ground of the feed', 'the green screw')];
  return [
    landing('feed-ground', 'ground', 'Ground of the feed', 'the ground splice', false),
    ...(run ? [landing('run-ground', 'ground', 'Ground of the run', 'the ground splice', false)] : []),
    landing('pigtail-splice', 'ground', 'Ground pigtail, one end', 'the ground splice', false),
    landing('pigtail-device', 'ground', 'Ground pigtail, other end', 'the green screw'),
    ...(metal
      ? [
          landing('box-splice', 'ground', 'Box pigtail, one end', 'the ground splice', false),
          apart(landing('box-screw', 'ground', 'Box pigtail, other end', 'the box’s ground screw')),
        ]
      : []),
  ];
}
