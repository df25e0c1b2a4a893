import type { Conductor, ElectricalCircuit } from '../meter/electrical-circuit.js';
import { type Fault, faultFits, placeNumber } from '../meter/fault.js';
import { type PriorRow, priorRows, samePlaceFactor, soundWeight } from './fault-priors.js';

/** One fault that this circuit can have. Where its ohms are to be fitted, `fault.ohms` is only a start. */
export interface Candidate {
  readonly fault: Fault;
  readonly fitted: boolean;
  /** Logarithm of its probability against "nothing wrong", before any reading. */
  readonly logPrior: number;
  readonly reason: string;
}

/** A poor joint is looked for from this on, Ω; below it is a sound one. */
export const leastPoorJointOhm = 0.05;

/** Every fault at every place of the circuit, each once. */
export function catalogue(circuit: ElectricalCircuit): Candidate[] {
  return priorRows.flatMap((row) => {
    const faults = places(row, circuit)
      .map((where) => faultOf(row, where))
      .filter((fault) => faultFits(circuit, fault));
    return faults.map((fault) => ({
      fault,
      fitted: row.fault === 'joined' || row.fault === 'high-resistance',
      logPrior: Math.log(row.weight / faults.length / soundWeight),
      reason: row.reason,
    }));
  });
}

/** Logarithm of the probability of two faults at once against "nothing wrong". */
export function logPriorOfPair(a: Candidate, b: Candidate): number {
  return (
    a.logPrior + b.logPrior + (nearPlace(a.fault) === nearPlace(b.fault) ? Math.log(samePlaceFactor) : 0)
  );
}

/** The box that a fault was made in: the far end of a feed is the box of its outlet. */
function nearPlace(fault: Fault): string {
  const number = placeNumber(fault.where);
  return number > 0 ? `box ${number}` : fault.where;
}

function places(row: PriorRow, circuit: ElectricalCircuit): string[] {
  if (row.where !== 'feed' && row.where !== 'outlet') return [row.where];
  return circuit.run.map((_, k) => `${row.where}${k + 1}`);
}

function faultOf(row: PriorRow, where: string): Fault {
  const on = row.on?.split('-') as Conductor[] | undefined;
  const fault: Record<string, unknown> = { fault: row.fault };
  if (on?.length === 1) fault.conductor = on[0];
  if (on?.length === 2) fault.conductors = on;
  fault.where = where;
  if (row.fault === 'high-resistance') fault.ohms = 1;
  return fault as Fault;
}
