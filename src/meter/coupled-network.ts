import type { Fault } from './fault.js';
import { type Layout, nodeAt, nowhere } from './layout.js';
import type { Meter } from './meter.js';
import { type Setting, wire } from './network.js';
import { parsePoint } from './point.js';
import { sourceNode } from './star-mesh.js';

/** The supply's frequency, Hz. */
const frequencyHz = 60;
/** Keeps an island that nothing at all touches solvable, S. */
const leakS = 1e-13;

interface CoupledReading {
  readonly layout: Layout;
  readonly faults: readonly Fault[];
  readonly setting: Setting;
  readonly meter: Meter;
  readonly from: string;
  readonly to: string;
}

/**
 * What a voltmeter shows between two points, V, with the meter's own resistance and the 60 Hz coupling of the cables'
 * conductors in the circuit: the ghost volts of a point that nothing drives.
 */
export function coupledVolts(reading: CoupledReading): number {
  const { layout, faults, setting, meter } = reading;
  const { circuit } = layout;
  const a = nodeAt(layout, parsePoint(circuit, reading.from)!, 'live');
  const b = nodeAt(layout, parsePoint(circuit, reading.to)!, 'live');
  if (a === nowhere || b === nowhere) return 0;
  const system = new ComplexSystem(layout.nodes);
  for (let k = 0; k < layout.nodes; k++) system.add(k, -1, leakS, 0);
  wire(layout, faults, setting, {
    join: (p, q, ohm) => {
      if (p === sourceNode || q === sourceNode) system.feed(Math.max(p, q), circuit.supply.volts / ohm);
      system.add(p, q, 1 / ohm, 0);
    },
    couple: (p, q, farad) => system.add(p, q, 0, 2 * Math.PI * frequencyHz * farad),
  });
  system.add(a, b, 1 / meter.inputOhms, 0);
  return system.magnitude(a, b);
}

/** A dense system of complex nodal equations, real and imaginary parts side by side, solved with partial pivoting. */
class ComplexSystem {
  readonly #re: Float64Array[];
  readonly #im: Float64Array[];

  constructor(readonly nodes: number) {
    this.#re = Array.from({ length: nodes }, () => new Float64Array(nodes + 1));
    this.#im = Array.from({ length: nodes }, () => new Float64Array(nodes + 1));
  }

  /** An admittance (S) between two nodes; a negative node is a fixed potential. */
  add(p: number, q: number, siemens: number, susceptance: number): void {
    for (const [i, j] of [
      [p, q],
      [q, p],
    ] as const) {
      if (i < 0 || p === q) continue;
      this.#re[i]![i]! += siemens;
      this.#im[i]![i]! += susceptance;
      if (j < 0) continue;
      this.#re[i]![j]! -= siemens;
      this.#im[i]![j]! -= susceptance;
    }
  }

  /** A current (A) into a node. */
  feed(node: number, amps: number): void {
    if (node >= 0) this.#re[node]![this.nodes]! += amps;
  }

  /** Magnitude of the voltage between two nodes. */
  magnitude(a: number, b: number): number {
    this.#reduce();
    const at = (node: number, part: Float64Array[]) => (node < 0 ? 0 : part[node]![this.nodes]!);
    return Math.hypot(at(a, this.#re) - at(b, this.#re), at(a, this.#im) - at(b, this.#im));
  }

  #reduce(): void {
    const n = this.nodes;
    const [re, im] = [this.#re, this.#im];
    for (let k = 0; k < n; k++) {
      let best = k;
      for (let i = k + 1; i < n; i++) if (size(re, im, i, k) > size(re, im, best, k)) best = i;
      [re[k], re[best]] = [re[best]!, re[k]!];
      [im[k], im[best]] = [im[best]!, im[k]!];
      const norm = size(re, im, k, k);
      const [pr, pi] = [re[k]![k]! / norm, -im[k]![k]! / norm];
      for (let j = k; j <= n; j++) {
        const [r, i] = [re[k]![j]!, im[k]![j]!];
        re[k]![j] = r * pr - i * pi;
        im[k]![j] = r * pi + i * pr;
      }
      for (let i = 0; i < n; i++) {
        const [fr, fi] = [re[i]![k]!, im[i]![k]!];
        if (i === k || (fr === 0 && fi === 0)) continue;
        for (let j = k; j <= n; j++) {
          re[i]![j]! -= fr * re[k]![j]! - fi * im[k]![j]!;
          im[i]![j]! -= fr * im[k]![j]! + fi * re[k]![j]!;
        }
      }
    }
  }
}

function size(re: readonly Float64Array[], im: readonly Float64Array[], i: number, j: number): number {
  return re[i]![j]! ** 2 + im[i]![j]! ** 2;
}
