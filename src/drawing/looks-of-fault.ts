import type { Circuit } from '../circuit/circuit.js';
import { type Fault, placeNumber } from '../meter/fault.js';
import { outletLandings } from '../steps/content/landings.js';
import type { Conductor, Place } from './place.js';

/** Which device's back to open and which ends to look at there. */
interface FaultLook {
  readonly place: Place;
  readonly landings: readonly string[];
}

/**
 * The backs that a suspected fault leads to, the likeliest first: terminals before the middle of a cable. Nothing for what lies
 * outside the van (the supply, the cord) or names an outlet that this circuit lacks.
 */
export function looksOfFault(circuit: Circuit, fault: Fault): FaultLook[] {
  const number = placeNumber(fault.where);
  const at = stopAt(circuit, number);
  switch (fault.fault) {
    case 'open':
    case 'high-resistance':
      if (fault.where === 'bond') return [{ place: 'inlet', landings: ['inlet-end'] }];
      if (!('conductor' in fault) || number === 0 || !at) return [];
      if (fault.where.startsWith('outlet'))
        return [{ place: at, landings: [deviceEnd(circuit, number, fault.conductor)] }];
      return [
        ...leavingEnds(circuit, number, fault.conductor),
        { place: at, landings: [`feed-${fault.conductor}`] },
      ];
    case 'swapped':
    case 'face-swapped':
      if (number === 0 || !at) return [];
      return [
        {
          place: at,
          landings: fault.conductors.map((c) =>
            fault.fault === 'swapped' ? `feed-${c}` : deviceEnd(circuit, number, c),
          ),
        },
      ];
    case 'face-open':
      return at ? [{ place: at, landings: [deviceEnd(circuit, number, fault.conductor)] }] : [];
    case 'joined':
      if (fault.where === 'inlet')
        return [
          { place: 'breaker', landings: fault.conductors.flatMap((c) => [`in-${c}`, `out-${c}`]) },
          { place: 'inlet', landings: fault.conductors },
        ];
      return at
        ? [
            {
              place: at,
              landings: fault.conductors.flatMap((c) =>
                number < circuit.run.length ? [`feed-${c}`, `run-${c}`] : [`feed-${c}`],
              ),
            },
          ]
        : [];
    case 'line-load-reversed':
    case 'fed-from-line':
      return at ? [{ place: at, landings: ['feed-hot', 'feed-neutral', 'run-hot', 'run-neutral'] }] : [];
    case 'bootleg-reversed':
      return [];
  }
}

function stopAt(circuit: Circuit, number: number): Place | undefined {
  const outlet = circuit.run[number - 1];
  return outlet && `outlet:${outlet.id}`;
}

/** Where a feed's conductor leaves from: the box before it. */
function leavingEnds(circuit: Circuit, number: number, conductor: Conductor): FaultLook[] {
  const before = stopAt(circuit, number - 1);
  if (before) return [{ place: before, landings: [`run-${conductor}`] }];
  return [
    { place: 'breaker', landings: [`in-${conductor}`, `out-${conductor}`] },
    { place: 'inlet', landings: [conductor] },
  ];
}

/** The end that belongs to the device alone: for the ground its pigtail, where it has one. */
function deviceEnd(circuit: Circuit, number: number, conductor: Conductor): string {
  const outlet = circuit.run[number - 1];
  const pigtail = outlet && outletLandings(circuit, outlet).some(({ id }) => id === 'pigtail-device');
  return conductor === 'ground' && pigtail ? 'pigtail-device' : `feed-${conductor}`;
}
