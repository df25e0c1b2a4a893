import { expect, test } from 'vitest';
import { catalogue } from '../../src/faults/catalogue.js';
import type { ElectricalCircuit } from '../../src/meter/electrical-circuit.js';
import { van } from '../meter/vans.js';

const outlet = (device: 'receptacle' | 'gfci-receptacle') => ({ device, feed: { awg: 12, lengthM: 2 } });
const circuit: ElectricalCircuit = {
  ...van(1),
  run: [outlet('receptacle'), outlet('gfci-receptacle'), outlet('receptacle'), outlet('gfci-receptacle')],
};

// LINE and LOAD are a ground-fault device's alone, and a run that is fed past one lies behind it.
test('LINE and LOAD are suspected at ground-fault devices alone, and a run past one only where there is a run behind', () => {
  const where = (fault: string) =>
    catalogue(circuit).flatMap((c) => (c.fault.fault === fault ? [c.fault.where] : []));
  expect(where('line-load-reversed')).toEqual(['outlet2', 'outlet4']);
  expect(where('fed-from-line')).toEqual(['outlet2']);
});
