import { netlist, nodeName, type SetUp } from './netlist.js';
import { runNgspice, type Vectors } from './run-ngspice.js';

/** What is wanted of a set-up: the voltage between two points, or the current through a sense source. */
export interface Wanted {
  readonly setUp: SetUp;
  readonly between?: readonly [string, string];
  readonly currents?: readonly string[];
}

export interface Measured {
  readonly volts: number;
  readonly currents: readonly { readonly re: number; readonly im: number }[];
}

/** So many set-ups share one deck; larger decks only take longer a set-up. */
const setUpsADeck = 400;

/** Measures every set-up in as few runs of ngspice as there are decks. Volts are magnitudes; 1 A makes them ohms when dead. */
export function measureAll(wanted: readonly Wanted[]): Measured[] {
  const out: Measured[] = [];
  for (let i = 0; i < wanted.length; i += setUpsADeck)
    out.push(...measureDeck(wanted.slice(i, i + setUpsADeck)));
  return out;
}

function measureDeck(wanted: readonly Wanted[]): Measured[] {
  const lines: string[] = [];
  const save = new Set<string>();
  wanted.forEach(({ setUp, between, currents }, i) => {
    lines.push(...netlist(`s${i}_`, setUp));
    for (const p of between ?? []) {
      const name = nodeName(`s${i}_`, setUp, p);
      if (name !== '0') save.add(`v(${name})`);
    }
    for (const c of currents ?? []) save.add(`i(Vs${i}_${c})`);
  });
  const vectors = runNgspice(lines, save);
  return wanted.map(({ setUp, between, currents }, i) => {
    const [a, b] = (between ?? []).map((p) => potential(vectors, nodeName(`s${i}_`, setUp, p)));
    const volts = a === undefined || b === undefined ? 0 : Math.hypot(a.re - b.re, a.im - b.im);
    return {
      volts,
      currents: (currents ?? []).map((c) => vectors.get(`i(vs${i}_${c.toLowerCase()})`) ?? zero),
    };
  });
}

const zero = { re: 0, im: 0 };

function potential(vectors: Vectors, node: string): { re: number; im: number } {
  if (node === '0') return zero;
  const found = vectors.get(`v(${node.toLowerCase()})`) ?? vectors.get(node.toLowerCase());
  if (found === undefined) throw new Error(`ngspice knows no node ${node}`);
  return found;
}
