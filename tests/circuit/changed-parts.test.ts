import { expect, test } from 'vitest';
import { changedParts } from '../../src/circuit/changed-parts.js';
import { fieldChanges } from './circuit-fields.js';
import { demoCircuit, demoJson, type Patch } from './demo-circuit.js';

const changed = (patch: Patch) => changedParts(demoCircuit(), demoCircuit(patch));

test('a circuit set again as it was changes nothing', () => {
  expect(changed({})).toEqual([]);
});

/** Lists are told whole; an outlet goes by its identity. */
const toldAt = (path: string) =>
  path
    .replace(/^run\.0/, 'run.bench')
    .replace(/\.loads\..*/, '.loads')
    .replace(/^(otherSources|together)\..*/, '$1');

test.each(fieldChanges())('$path that is another is one part, told from the old to the new', (field) => {
  expect(field.others.length).toBeGreaterThan(0);
  for (const other of field.others) {
    const [part, ...more] = changedParts(field.base, other);
    expect(more).toEqual([]);
    expect(part?.path).toBe(toldAt(field.path));
    expect(part?.from).not.toBe(part?.to);
    expect(changedParts(other, field.base)).toEqual([{ ...part, from: part?.to, to: part?.from }]);
  }
});

test('a set of other loads under its old name is told', () => {
  const parts = changed({ 'together.0.loads': [{ outlet: 'bench', load: 'task lamp' }] });
  expect(parts).toMatchObject([
    { path: 'together', to: expect.stringMatching(/^gluing: task lamp; pressing/) },
  ]);
});

test('a part of an outlet is told under the number that the outlet has now', () => {
  const { run } = demoJson();
  const shelf = { ...structuredClone(run[1]!), id: 'shelf', place: 'shelf', loads: [] };
  const press = { ...structuredClone(run[1]!), amps: 20 };
  expect(changed({ run: [run[0], shelf, press, run[2]] }).map((p) => p.label)).toEqual([
    'outlet added',
    'outlet 3 · rating',
  ]);
});

test.each<[Patch, { path: string; label: string; from: string; to: string }]>([
  [
    { 'run.1.feed.awg': 10 },
    { path: 'run.press.feed.awg', label: 'outlet 2 · feed · gauge', from: '12 AWG', to: '10 AWG' },
  ],
  [
    { 'run.0.device': 'receptacle' },
    {
      path: 'run.bench.device',
      label: 'outlet 1 · device',
      from: 'ground-fault receptacle',
      to: 'receptacle',
    },
  ],
  [
    { 'cord.lengthM': 15.24 },
    { path: 'cord.lengthM', label: 'cord · length', from: '7.62 m (25 ft)', to: '15.24 m (50 ft)' },
  ],
  [
    { 'entry.kind': 'cord-grip' },
    {
      path: 'entry.kind',
      label: 'entry · kind',
      from: 'a drilled hole with a grommet',
      to: 'a cord grip in the panel',
    },
  ],
  [
    { 'run.0.torqueNm': undefined },
    {
      path: 'run.bench.torqueNm',
      label: 'outlet 1 · marked torque',
      from: '1.6 N·m (14.2 in-lbf)',
      to: 'not given',
    },
  ],
  [
    { 'inlet.box.volumeCm3': 500 },
    {
      path: 'inlet.box.volumeCm3',
      label: 'inlet · box · volume',
      from: '344 cm³ (21 in³)',
      to: '500 cm³ (30.51 in³)',
    },
  ],
  [
    { 'run.2.loads.0.watts': 300 },
    {
      path: 'run.locker.loads',
      label: 'outlet 3 · loads',
      from: 'battery charger 260 W, three hours or more, fastened',
      to: 'battery charger 300 W, three hours or more, fastened',
    },
  ],
  [
    { otherSources: [{ kind: 'inverter', keptOff: 'own-relay' }] },
    {
      path: 'otherSources',
      label: 'other sources',
      from: 'none',
      to: 'inverter, kept off by the source’s own transfer relay',
    },
  ],
  [
    { vehicleUse: 'living-quarters' },
    {
      path: 'vehicleUse',
      label: 'use of the vehicle',
      from: 'work van, not living quarters',
      to: 'living quarters',
    },
  ],
])('%j is one part, in the trade’s words', (patch, part) => {
  expect(changed(patch)).toEqual([part]);
});

test('a cable of its own from the inlet to the breaker is each of its fields', () => {
  const parts = changed({ inletWire: { awg: 10, lengthM: 0.6, outsideDiameterMm: 14 } });
  expect(parts.map((p) => [p.path, p.label, p.from, p.to])).toEqual([
    ['inletWire.awg', 'wire from the inlet to the breaker · gauge', 'not given', '10 AWG'],
    ['inletWire.lengthM', 'wire from the inlet to the breaker · length', 'not given', '0.6 m (2 ft)'],
    [
      'inletWire.outsideDiameterMm',
      'wire from the inlet to the breaker · outside diameter',
      'not given',
      '14 mm (0.55 in)',
    ],
  ]);
});

test('a box taken away is each of its fields not given', () => {
  const parts = changed({ 'inlet.box': undefined });
  expect(parts.map((p) => p.path)).toEqual([
    'inlet.box.volumeCm3',
    'inlet.box.depthMm',
    'inlet.box.material',
    'inlet.box.clamps',
  ]);
  expect(parts.every((p) => p.to === 'not given')).toBe(true);
});

test('an outlet added in front is one part, and the outlets behind it are not changed', () => {
  const { run } = demoJson();
  const shelf = { ...structuredClone(run[1]!), id: 'shelf', place: 'shelf', loads: [] };
  expect(changed({ run: run.toSpliced(1, 0, shelf) })).toEqual([
    { path: 'run.shelf', label: 'outlet added', from: 'not there', to: 'outlet 2, shelf, receptacle' },
  ]);
});

test('an outlet taken out, and an order that changed, are each one part', () => {
  const { run } = demoJson();
  expect(changed({ run: run.slice(0, 2), together: [] }).map((p) => p.path)).toEqual([
    'run.locker',
    'together',
  ]);
  expect(changed({ run: [run[0], run[2], run[1]] })).toMatchObject([
    { path: 'run', label: 'order of the outlets' },
  ]);
});
