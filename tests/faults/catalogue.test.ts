import { expect, test } from 'vitest';
import { catalogue } from '../../src/faults/catalogue.js';
import { conductors, type ElectricalCircuit } from '../../src/meter/electrical-circuit.js';
import { type Fault, faultSchema } from '../../src/meter/fault.js';
import { slotPairs } from '../../src/meter/schedule.js';
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

// A kind that the language has and the catalogue lacks is simulated, and never suspected.
test('every fault that the language can say is suspected, at every kind of place and on every conductor', () => {
  const kindOf = ({ fault, where, ...more }: Fault) => {
    const on = 'conductors' in more ? more.conductors.join('-') : 'conductor' in more ? more.conductor : '';
    return `${fault} ${where.replace(/\d+$/, '')} ${on}`.trim();
  };
  const suspected = new Set(catalogue(circuit).map(({ fault }) => kindOf(fault)));
  const places = ['supply', 'cord', 'inlet', 'bond', 'feed1', 'outlet2'];
  const pairs = slotPairs.map((conductors) => ({ conductors }));
  const on = [{}, ...conductors.map((conductor) => ({ conductor })), ...pairs];
  const sayable = faultSchema.options.flatMap(({ shape }) =>
    places.flatMap((where) => on.map((more) => ({ fault: shape.fault.value, where, ohms: 1, ...more }))),
  );
  const said = sayable.flatMap((fault) => {
    const { data } = faultSchema.safeParse(fault);
    return data === undefined || Object.keys(fault).some((key) => key !== 'ohms' && !(key in data))
      ? []
      : [kindOf(data)];
  });
  expect(suspected).toEqual(new Set(said));
});
