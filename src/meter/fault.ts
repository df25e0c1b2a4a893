import { z } from 'zod';
import { conductors, type ElectricalCircuit, isGroundFaultDevice } from './electrical-circuit.js';

const conductor = z.enum(conductors);
const pair = z.tuple([conductor, conductor]).refine(([a, b]) => a !== b, 'names one conductor twice');
const supply = z.literal('supply');
const cord = z.literal('cord');
const inlet = z.literal('inlet');
const bond = z.literal('bond');
const feed = z.templateLiteral(['feed', z.number()]);
const outlet = z.templateLiteral(['outlet', z.number()]);
const ohms = z.number().positive();

/** One thing that can be wrong, and where; what each means electrically is said in `network.ts`. */
export const faultSchema = z.union([
  z.object({ fault: z.literal('open'), where: bond }),
  z.object({ fault: z.literal('open'), conductor, where: z.union([supply, cord, feed]) }),
  z.object({ fault: z.literal('swapped'), conductors: pair, where: z.union([supply, cord, feed]) }),
  z.object({ fault: z.literal('face-swapped'), conductors: pair, where: outlet }),
  z.object({ fault: z.literal('face-open'), conductor, where: outlet }),
  z.object({
    fault: z.literal('joined'),
    conductors: pair,
    where: z.union([inlet, outlet]),
    ohms: ohms.optional(),
  }),
  z.object({ fault: z.literal('high-resistance'), where: z.union([bond, supply]), ohms }),
  z.object({ fault: z.literal('high-resistance'), conductor, where: z.union([cord, feed, outlet]), ohms }),
  z.object({ fault: z.literal('bootleg-reversed'), where: supply }),
  z.object({ fault: z.literal('line-load-reversed'), where: outlet }),
  z.object({ fault: z.literal('fed-from-line'), where: outlet }),
]);

export type Fault = z.output<typeof faultSchema>;

/** The path of a `joined` fault whose ohms are not given, Ω: metal on metal. */
export const joinedOhm = 0.01;

/** A path or a joint with other ohms, Ω; any other fault has none, and stays as it is. */
export function faultOfOhms(fault: Fault, ohms: number): Fault {
  return fault.fault === 'joined' || fault.fault === 'high-resistance' ? { ...fault, ohms } : fault;
}

/** The number in `feed3` or `outlet3`; 0 at every other place. */
export function placeNumber(where: string): number {
  return Number(/^(?:feed|outlet)(\d+)$/.exec(where)?.[1] ?? 0);
}

/** True where the place, which this circuit has, is of the kind that the fault speaks of. */
export function faultFits(circuit: ElectricalCircuit, fault: Fault): boolean {
  const number = placeNumber(fault.where);
  switch (fault.fault) {
    case 'fed-from-line':
      return number < circuit.run.length && isGroundFaultDevice(circuit, number);
    case 'line-load-reversed':
      return isGroundFaultDevice(circuit, number);
    case 'open':
    case 'swapped':
    case 'face-swapped':
    case 'face-open':
    case 'joined':
    case 'high-resistance':
    case 'bootleg-reversed':
      return true;
  }
}
