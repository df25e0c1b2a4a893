import { expect, test } from 'vitest';
import type { Circuit } from '../../src/circuit/circuit.js';
import { plannedReadings } from '../../src/steps/planned-readings.js';
import { fieldChanges } from '../circuit/circuit-fields.js';

// A reading is taken again where its basis changed, and by nothing else of the circuit.
test.each(fieldChanges())(
  '$path changes what a reading is held to only where its basis says so',
  ({ base, others }) => {
    const heldTo = (circuit: Circuit) => new Map(plannedReadings(circuit).map((r) => [r.id, r]));
    const before = heldTo(base);
    const unsaid = others.flatMap((circuit) =>
      [...heldTo(circuit)].flatMap(([id, now]) => {
        const then = before.get(id);
        if (then === undefined || JSON.stringify(then.basis) !== JSON.stringify(now.basis)) return [];
        const same =
          JSON.stringify([then.limit, then.from, then.to]) === JSON.stringify([now.limit, now.from, now.to]);
        return same ? [] : [[id, then.limit, now.limit]];
      }),
    );
    expect(unsaid).toEqual([]);
  },
);
