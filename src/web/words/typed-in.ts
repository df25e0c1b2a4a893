import type { Circuit } from '../../circuit/circuit.js';

/** What a person wrote in a circuit and our own sentences repeat: it stays as it was written, wherever it stands. */
export function typedIn({ run, breaker, inlet, together }: Circuit): string[] {
  return [
    breaker.place,
    inlet.behindPanel,
    ...run.flatMap((o) => [o.place, ...o.loads.map((l) => l.name)]),
    ...together.map((set) => set.name),
  ];
}
