import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { circuitSchema } from '../../../src/circuit/circuit.js';
import { afterAct, firstTyped } from '../../../src/web/circuit/circuit-acts.js';
import {
  loadTicks,
  outletFields,
  sectionsBefore,
  sourceFields,
} from '../../../src/web/circuit/circuit-fields.js';
import { circuitFromTyped, countOf, typedFromCircuit } from '../../../src/web/circuit/circuit-form.js';
import { circuitFields } from '../../circuit/circuit-fields.js';
import { made } from '../../store/temp-store.js';
import { demoCircuit } from '../played-shop.js';

describe('the circuit as a form', () => {
  test.each(['imperial', 'metric'] as const)(
    'a circuit that is shown in %s units and sent back untouched is the same to the last digit',
    (units) => {
      const typed = typedFromCircuit(demoCircuit, units);
      expect(made(circuitFromTyped(typed, { circuit: demoCircuit, units }))).toEqual(demoCircuit);
    },
  );

  test('supports are shown in what a tape near a box is read in, and not in parts of a foot', () => {
    const at20cm = { ...demoCircuit, cable: { ...demoCircuit.cable, supportFromBoxM: 0.2032 } };
    const typed = typedFromCircuit(at20cm, 'imperial');
    expect([typed['cable.supportFromBoxM'], typed['cable.supportFromBoxM.unit']]).toEqual(['8', 'in']);
    expect(typedFromCircuit(at20cm, 'metric')['cable.supportFromBoxM.unit']).toBe('cm');
  });

  test('any length survives being shown in feet and sent back untouched', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 60, noNaN: true }),
        fc.double({ min: 0.05, max: 30, noNaN: true }),
        (cordM, feedM) => {
          const circuit = circuitSchema.parse({
            ...demoCircuit,
            cord: { ...demoCircuit.cord, lengthM: cordM },
            run: demoCircuit.run.map((o) => ({ ...o, feed: { ...o.feed, lengthM: feedM } })),
          });
          const back = made(
            circuitFromTyped(typedFromCircuit(circuit, 'imperial'), { circuit, units: 'imperial' }),
          );
          expect(back).toEqual(circuit);
        },
      ),
    );
  });

  test('a cable of its own from the inlet to the breaker is whole or not there', () => {
    const inletWire = { awg: 10 as const, lengthM: 0.6096, outsideDiameterMm: 14 };
    const circuit = circuitSchema.parse({ ...demoCircuit, inletWire });
    const typed = typedFromCircuit(circuit, 'imperial');
    expect(made(circuitFromTyped(typed, { circuit, units: 'imperial' }))).toEqual(circuit);
    const gone = {
      ...typed,
      'inletWire.awg': '',
      'inletWire.lengthM': ' ',
      'inletWire.outsideDiameterMm': '',
    };
    expect(made(circuitFromTyped(gone))).not.toHaveProperty('inletWire');
    const half = circuitFromTyped({ ...typed, 'inletWire.lengthM': '' });
    expect(half.ok ? [] : half.issues.map((i) => i.field)).toEqual(['inletWire.lengthM']);
    const nameless = circuitFromTyped({ ...typed, 'inletWire.awg': '' });
    expect(nameless.ok ? [] : nameless.issues.map((i) => i.field)).toEqual(['inletWire.awg']);
  });

  test('what a tape shows is taken as it reads: feet with inches, a fraction, the unit behind it', () => {
    const typed = {
      ...typedFromCircuit(demoCircuit, 'imperial'),
      'inlet.heightM': `2' 6 1/2"`,
      'cord.lengthM': '25 ft',
      'inlet.heightM.unit': 'ft',
    };
    const { inlet, cord } = made(circuitFromTyped(typed, { circuit: demoCircuit, units: 'imperial' }));
    expect(inlet.heightM).toBeCloseTo(30.5 * 0.0254, 12);
    expect(cord.lengthM).toBeCloseTo(25 * 0.3048, 12);
    const other = circuitFromTyped({ ...typed, 'cord.lengthM': '8 m' });
    expect(other.ok ? [] : other.issues.map((i) => `${i.field} ${i.message}`)).toEqual([
      'cord.lengthM “8 m” is not a number: write one number, in the unit that stands beside it',
    ]);
  });

  test('one figure that is typed anew changes alone', () => {
    const typed = { ...typedFromCircuit(demoCircuit, 'imperial'), 'cord.lengthM': '50' };
    const circuit = made(circuitFromTyped(typed, { circuit: demoCircuit, units: 'imperial' }));
    expect(circuit.cord.lengthM).toBeCloseTo(15.24, 10);
    expect({ ...circuit, cord: demoCircuit.cord }).toEqual(demoCircuit);
  });
});

test('every field of the circuit stands on the form, or is read there in a way of its own', () => {
  const fields = [
    ...sectionsBefore.flatMap((section) => section.fields),
    ...outletFields(0),
    ...loadTicks(0, 0),
    ...sourceFields(0),
  ];
  const onForm = new Set<string>(fields.map(({ path }) => path));
  expect(circuitFields.map(({ path }) => path).filter((path) => !onForm.has(path))).toEqual([
    ...['format', 'supply.volts', 'run.0.id'],
    ...['run.0.loads.0.name', 'run.0.loads.0.watts', 'run.0.loads.0.amps'],
    ...['together.0.name', 'together.0.loads.0.outlet', 'together.0.loads.0.load', 'note'],
  ]);
});

describe('the small buttons of the form', () => {
  const typed = typedFromCircuit(demoCircuit, 'imperial');
  const same = (after: typeof typed) =>
    made(circuitFromTyped(after, { circuit: demoCircuit, units: 'imperial' }));

  test('moving an outlet down and up again leaves the circuit as it was', () => {
    const down = afterAct(typed, 'down:0', 'imperial');
    expect(same(down).run.map((o) => o.id)).toEqual(['press', 'bench', 'locker']);
    expect(same(afterAct(down, 'up:1', 'imperial'))).toEqual(demoCircuit);
  });

  test('a new outlet has an identity that no other has, and keeps nothing that is its own', () => {
    const added = afterAct(typed, 'add-outlet', 'imperial');
    expect(countOf(added, 'run')).toBe(4);
    expect(added['run.3.place']).toBe('');
    expect(demoCircuit.run.map((o) => o.id)).not.toContain(added['run.3.id']);
    expect(added['run.3.feed.awg']).toBe(added['run.2.feed.awg']);
  });

  test('taking out an outlet takes its loads out of what may run together, and no others', () => {
    const without = same(afterAct(typed, 'remove-outlet:1', 'imperial'));
    const members = (circuit: typeof demoCircuit) => circuit.together.map((set) => set.loads.length);
    expect(without.run.map((o) => o.id)).toEqual(['bench', 'locker']);
    expect(without.together.flatMap((set) => set.loads).every((m) => m.outlet !== 'press')).toBe(true);
    expect(members(without).reduce((a, b) => a + b)).toBeLessThan(
      members(demoCircuit).reduce((a, b) => a + b),
    );
  });

  test('taking out a load leaves the sets of the loads behind it right', () => {
    const without = same(afterAct(typed, 'remove-load:0:0', 'imperial'));
    const gone = demoCircuit.run[0]?.loads[0]?.name;
    for (const set of demoCircuit.together) {
      const now = without.together.find((s) => s.name === set.name);
      expect(now?.loads).toEqual(set.loads.filter((m) => m.load !== gone));
    }
  });

  test('an act that means nothing here changes nothing', () => {
    for (const act of ['', 'up:0', 'down:9', 'remove-outlet:-1', 'remove-load:0:99', 'drop table', 'up:NaN'])
      expect(afterAct(typed, act, 'imperial'), act).toEqual(typed);
  });

  test('a first circuit starts with every figure in the units of the shop', () => {
    for (const units of ['imperial', 'metric'] as const) {
      const start = firstTyped(units);
      expect(start['inlet.fromRearM.unit']).toBe(units === 'imperial' ? 'ft' : 'm');
      expect(start['run.0.box.volumeCm3.unit']).toBe(units === 'imperial' ? 'in3' : 'cm3');
      expect(start['run.0.device']).toBe('gfci-receptacle');
    }
  });
});
