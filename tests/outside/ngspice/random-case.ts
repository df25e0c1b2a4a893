import type { ElectricalCircuit } from '../../../src/meter/electrical-circuit.js';
import type { Fault } from '../../../src/meter/fault.js';
import type { Random } from '../../random-from.js';

export function pick<T>(random: Random, list: readonly T[]): T {
  return list[Math.floor(random() * list.length)]!;
}

/** A van as one might meet it: one to five outlets, the ground-fault device first, cord and feeds of ordinary sizes. */
export function randomCircuit(random: Random): ElectricalCircuit {
  const tenths = (low: number, high: number) => Math.round((low + random() * (high - low)) * 10) / 10;
  const awg = pick(random, [10, 12, 14]);
  const outlets = 1 + Math.floor(random() * 5);
  return {
    supply: { volts: 120, loopOhms: Math.round((0.1 + random() * 0.4) * 100) / 100 },
    cord: { awg: pick(random, [10, 12, 14, 16]), lengthM: tenths(4, 15) },
    inlet: { amps: 15 },
    breaker: random() < 0.5 ? { amps: 15 } : null,
    bond: { awg: 8, lengthM: tenths(0.4, 2) },
    run: Array.from({ length: outlets }, (_, k) => ({
      device: k === 0 ? 'gfci-receptacle' : 'receptacle',
      feed: { awg, lengthM: tenths(0.8, 5) },
    })),
  };
}

const pairs = [
  ['hot', 'neutral'],
  ['hot', 'ground'],
  ['neutral', 'ground'],
] as const;
const conductors = ['hot', 'neutral', 'ground'] as const;

/** One fault of any kind at any place where this circuit can have it; ohms anywhere in their range. */
export function randomFault(random: Random, circuit: ElectricalCircuit): Fault {
  const k = 1 + Math.floor(random() * circuit.run.length);
  const line = ['supply', 'cord', `feed${k}`] as const;
  const pair = () => [...pick(random, pairs)] as ['hot', 'neutral'];
  const logBetween = (low: number, high: number) => Number((low * (high / low) ** random()).toPrecision(5));
  // A device with nothing behind it has no run to feed from the wrong side.
  const kind = pick(random, circuit.run.length > 1 ? kinds : kinds.filter((k) => k !== 'fed-from-line'));
  switch (kind) {
    case 'open':
      return { fault: 'open', conductor: pick(random, conductors), where: pick(random, line) } as Fault;
    case 'open-bond':
      return { fault: 'open', where: 'bond' };
    case 'swapped':
      return { fault: 'swapped', conductors: pair(), where: pick(random, line) } as Fault;
    case 'face-swapped':
      return { fault: 'face-swapped', conductors: pair(), where: `outlet${k}` };
    case 'face-open':
      return { fault: 'face-open', conductor: pick(random, conductors), where: `outlet${k}` };
    case 'joined': {
      const where = random() < 0.25 ? 'inlet' : (`outlet${k}` as const);
      const how = random();
      const ohms = how < 0.4 ? {} : { ohms: logBetween(0.1, how < 0.6 ? 100 : 900_000) };
      return { fault: 'joined', conductors: pair(), where, ...ohms } as Fault;
    }
    case 'high-resistance': {
      const where = pick(random, ['cord', `feed${k}`, `outlet${k}`] as const);
      return {
        fault: 'high-resistance',
        conductor: pick(random, conductors),
        where,
        ohms: logBetween(0.3, 20),
      } as Fault;
    }
    case 'high-bond':
      return { fault: 'high-resistance', where: 'bond', ohms: logBetween(0.3, 2000) };
    case 'bootleg-reversed':
      return { fault: 'bootleg-reversed', where: 'supply' };
    case 'line-load-reversed':
      return { fault: 'line-load-reversed', where: 'outlet1' };
    case 'fed-from-line':
      return { fault: 'fed-from-line', where: 'outlet1' };
  }
}

/** How often each kind is drawn; the compiler asks for one that is new to the language. */
const weights: Readonly<Record<Fault['fault'] | 'open-bond' | 'high-bond', number>> = {
  open: 2,
  'open-bond': 1,
  swapped: 2,
  'face-swapped': 1,
  'face-open': 1,
  joined: 2,
  'high-resistance': 1,
  'high-bond': 1,
  'bootleg-reversed': 1,
  'line-load-reversed': 1,
  'fed-from-line': 1,
};
const kinds = (Object.keys(weights) as (keyof typeof weights)[]).flatMap((kind) =>
  Array.from({ length: weights[kind] }, () => kind),
);
