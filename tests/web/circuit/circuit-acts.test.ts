import { expect, test } from 'vitest';
import { inSi } from '../../../src/circuit/units.js';
import {
  afterAct,
  fieldAfter,
  firstTyped,
  withoutEmptyLoads,
} from '../../../src/web/circuit/circuit-acts.js';
import { sectionsBefore } from '../../../src/web/circuit/circuit-fields.js';

test.each([
  ['add-outlet', 'run.1.place'],
  ['add-load:0', 'run.0.loads.1.name'],
  ['add-source', 'otherSources.0.kind'],
  ['add-set', 'together.0.name'],
])('after %s the person goes on at what was added', (act, field) => {
  expect(fieldAfter(afterAct(firstTyped('imperial'), act, 'imperial'), act)).toBe(field);
});

test('after an outlet moves, the person goes on at that outlet', () => {
  const two = afterAct(firstTyped('metric'), 'add-outlet', 'metric');
  expect(fieldAfter(afterAct(two, 'up:1', 'metric'), 'up:1')).toBe('run.0.place');
  expect(fieldAfter(afterAct(two, 'down:0', 'metric'), 'down:0')).toBe('run.1.place');
});

test('after something is taken out, the person goes on at what is left', () => {
  const two = afterAct(firstTyped('metric'), 'add-outlet', 'metric');
  expect(fieldAfter(afterAct(two, 'remove-outlet:1', 'metric'), 'remove-outlet:1')).toBe('run.0.place');
  expect(fieldAfter(afterAct(two, 'remove-load:1:0', 'metric'), 'remove-load:1:0')).toBe('run.1.openNeutral');
});

test('an outlet starts with a load to type; of what nothing was typed nothing is sent, and the others keep their place', () => {
  const three = ['add-load:0', 'add-load:0'].reduce(
    (typed, act) => afterAct(typed, act, 'metric'),
    firstTyped('metric'),
  );
  const id = three['run.0.id'];
  const typed = {
    ...three,
    'run.0.loads.1.name': 'glue pot',
    'together.0.id': '0',
    [`together.0.with.${id}.1`]: 'yes',
  };
  const sent = withoutEmptyLoads(typed, 'metric');
  expect(sent['run.0.loads.0.name']).toBe('glue pot');
  expect(sent['run.0.loads.1.id']).toBeUndefined();
  expect(sent[`together.0.with.${id}.0`]).toBe('yes');
  expect(withoutEmptyLoads({ ...three, 'run.0.loads.2.heats': 'yes' }, 'metric')['run.0.loads.0.heats']).toBe(
    'yes',
  );
});

test('an act that means nothing leads nowhere', () => {
  expect(fieldAfter(firstTyped('metric'), 'paint')).toBeUndefined();
});

test('a new circuit is ticked for nothing that has to be seen first', () => {
  const typed = afterAct(firstTyped('imperial'), 'add-outlet', 'imperial');
  const seen = Object.keys(typed).filter((name) => /coversWholeEdge|selfTest/.test(name));
  expect(seen).toEqual([]);
});

test('a new circuit starts with the same quantities in both systems of units', () => {
  const starts = (['metric', 'imperial'] as const).map(firstTyped);
  const compared = sectionsBefore
    .flatMap((section) => section.fields)
    .filter((field) => field.kind === 'measure' && starts[0]?.[field.path] !== undefined)
    .map((field) => {
      if (field.kind !== 'measure') throw new Error(field.path);
      const [metric, imperial] = starts.map((typed) =>
        inSi(field.quantity, Number(typed[field.path]), typed[`${field.path}.unit`] ?? ''),
      ) as [number, number];
      expect(imperial / metric, field.path).toBeGreaterThan(0.97);
      expect(imperial / metric, field.path).toBeLessThan(1.03);
      return field.path;
    });
  expect(compared).toContain('cable.hottestPlaceC');
  expect(compared).toContain('cord.lengthM');
});
