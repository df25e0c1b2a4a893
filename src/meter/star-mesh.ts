/** Nodes that are not solved for: true earth (the source's neutral) and the source's hot pole. */
export const earthNode = -1;
export const sourceNode = -2;

/** Every node leaks this much to earth, S: so little that no meter sees it, enough that no island is without a potential. */
const leakS = 1e-15;

/**
 * A network of resistances, solved by eliminating one node after the other and replacing its star by a mesh (Rosen 1924).
 * Only sums of positive numbers occur, so a milliohm beside a broken wire loses no digits and an island needs no special
 * care. Number the nodes from the outer ends inwards: the mesh then stays as small as the run is wide.
 */
export class StarMesh {
  /** Conductance between each two nodes, S; after `eliminate`, of each node to those after it. */
  readonly #mesh: Float64Array;
  readonly #earth: Float64Array;
  readonly #source: Float64Array;
  /** Sum of all that a node is tied to at the moment it is eliminated. */
  readonly #total: Float64Array;
  readonly #later: Uint8Array;
  readonly #laterCount: Uint8Array;
  /** All zero between two uses. */
  readonly #flow: Float64Array;

  constructor(readonly nodes: number) {
    this.#mesh = new Float64Array(nodes * nodes);
    this.#earth = new Float64Array(nodes).fill(leakS);
    this.#source = new Float64Array(nodes);
    this.#total = new Float64Array(nodes);
    this.#later = new Uint8Array(nodes * nodes);
    this.#laterCount = new Uint8Array(nodes);
    this.#flow = new Float64Array(nodes);
  }

  /** Takes every resistance out again, so that the next network can be drawn in the same memory. */
  clear(): this {
    this.#mesh.fill(0);
    this.#earth.fill(leakS);
    this.#source.fill(0);
    return this;
  }

  /** Puts a resistance (Ω, above 0) between two nodes, or between a node and earth or the source. */
  join(a: number, b: number, ohm: number): void {
    const siemens = 1 / ohm;
    if (a >= 0 && b >= 0) {
      const low = Math.min(a, b);
      const high = Math.max(a, b);
      this.#mesh[low * this.nodes + high]! += siemens;
      return;
    }
    const [node, pole] = a >= 0 ? [a, b] : [b, a];
    if (node < 0) return;
    (pole === sourceNode ? this.#source : this.#earth)[node]! += siemens;
  }

  /** Eliminates every node in turn; `join` may not be called after it. */
  eliminate(): this {
    const n = this.nodes;
    const mesh = this.#mesh;
    // What a node is tied to outside the mesh moves on to its neighbours; the source's own ties stay for `potentials`.
    const outside = this.#earth;
    for (let k = 0; k < n; k++) outside[k]! += this.#source[k]!;
    for (let k = 0; k < n; k++) {
      const row = k * n;
      let total = outside[k]!;
      let count = 0;
      for (let j = k + 1; j < n; j++) {
        const s = mesh[row + j]!;
        if (s !== 0) {
          total += s;
          this.#later[row + count++] = j;
        }
      }
      this.#total[k] = total;
      this.#laterCount[k] = count;
      for (let p = 0; p < count; p++) {
        const i = this.#later[row + p]!;
        const share = mesh[row + i]! / total;
        outside[i]! += share * outside[k]!;
        for (let q = p + 1; q < count; q++) {
          const j = this.#later[row + q]!;
          mesh[i * n + j]! += share * mesh[row + j]!;
        }
      }
    }
    return this;
  }

  /** Resistance between two nodes, Ω, with the source's pole tied to earth; beyond a gigohm where nothing joins them. */
  resistance(a: number, b: number): number {
    const flow = this.#flow;
    if (a >= 0) flow[a]! += 1;
    if (b >= 0) flow[b]! -= 1;
    let ohm = 0;
    for (let k = Math.max(Math.min(a, b), 0); k < this.nodes; k++) {
      const i = flow[k]!;
      if (i === 0) continue;
      ohm += (i * i) / this.#total[k]!;
      this.#push(k, i, flow);
      flow[k] = 0;
    }
    return ohm;
  }

  /** Potential of every node against earth, V, with the source's pole at `volts`. */
  potentials(volts: number): Float64Array {
    const n = this.nodes;
    const current = new Float64Array(n);
    for (let k = 0; k < n; k++) current[k] = this.#source[k]! * volts;
    for (let k = 0; k < n; k++) if (current[k] !== 0) this.#push(k, current[k]!, current);
    for (let k = n - 1; k >= 0; k--) {
      const row = k * n;
      let sum = current[k]!;
      for (let p = 0; p < this.#laterCount[k]!; p++) {
        const j = this.#later[row + p]!;
        sum += this.#mesh[row + j]! * current[j]!;
      }
      current[k] = sum / this.#total[k]!;
    }
    return current;
  }

  /** Current that the source delivers, A, at potentials that `potentials` gave. */
  sourceCurrent(volts: number, potentials: Float64Array): number {
    let sum = 0;
    for (let k = 0; k < this.nodes; k++) {
      if (this.#source[k] !== 0) sum += this.#source[k]! * (volts - potentials[k]!);
    }
    return sum;
  }

  #push(k: number, current: number, into: Float64Array): void {
    const row = k * this.nodes;
    const share = current / this.#total[k]!;
    for (let p = 0; p < this.#laterCount[k]!; p++) {
      const j = this.#later[row + p]!;
      into[j]! += this.#mesh[row + j]! * share;
    }
  }
}

/** Networks of one size that are drawn in, read and given back together, so that a thousand of them need the memory of few. */
export class MeshPool {
  readonly #meshes: StarMesh[] = [];
  #used = 0;

  constructor(readonly nodes: number) {}

  /** An empty network. It stays whole until `giveBack`. */
  take(): StarMesh {
    const mesh = this.#meshes[this.#used] ?? new StarMesh(this.nodes);
    this.#meshes[this.#used++] = mesh;
    return mesh.clear();
  }

  /** All that were taken may be drawn over. */
  giveBack(): void {
    this.#used = 0;
  }
}
