import { expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import type { Fault } from '../../src/meter/fault.js';
import type { Reading, ReadingsFile } from '../../src/meter/readings-file.js';
import { van } from '../meter/vans.js';
import { shownBy } from './shown-by.js';

const asked = (file: ReadingsFile) => diagnose(file).askFirst.map(({ slip }) => slip);
const asks = (fault: Fault, circuit = van(3)) => asked(shownBy([fault], { circuit }));

it('whether the cord was left in is asked of a join at the inlet, where the source would make one, and of no other', () => {
  const join = (where: string): Fault =>
    ({
      ...{ fault: 'joined', conductors: ['neutral', 'ground'], ohms: 0.3 },
      where,
    }) as Fault;
  expect(asks(join('inlet'))).toContain('cord-left-in');
  expect(asks(join('outlet3'))).not.toContain('cord-left-in');
});

it('whether fingers were on the probes is asked of a megohm, and not of a load', () => {
  const join = (ohms: number): Fault =>
    ({
      ...{ fault: 'joined', conductors: ['hot', 'ground'], where: 'outlet2' },
      ohms,
    }) as Fault;
  expect(asks(join(500_000))).toContain('fingers-on-probes');
  expect(asks(join(300))).not.toContain('fingers-on-probes');
});

it('whether the van’s breaker is on is asked where it has one', () => {
  const open: Fault = { fault: 'open', conductor: 'hot', where: 'feed1' };
  expect(asks(open)).toContain('breaker-off');
  expect(asks(open, { ...van(3), breaker: null })).not.toContain('breaker-off');
});

it('what else may keep an outlet alive after TEST is asked where no wire that is known here does', () => {
  const sound = shownBy([]);
  const isLast = (r: Reading) =>
    r.test === 'observation' && r.what === 'dead-when-tripped' && r.at === 'outlet3';
  const readings = sound.readings.map((r) => (isLast(r) ? ({ ...r, answer: false } as Reading) : r));
  expect(asked({ ...sound, readings })).toContain('stays-alive');
  expect(asks({ fault: 'fed-from-line', where: 'outlet1' })).not.toContain('stays-alive');
});

it('what no suspect explains is said before them: neither a slip of one reading nor any of those faults', () => {
  // 2.7 kΩ in the cord, for which there is no word, beside a poor joint in the van.
  const joint = shownBy([{ fault: 'high-resistance', conductor: 'ground', where: 'feed2', ohms: 3 }]);
  const cord = { test: 'resistance', from: 'plug.neutral', to: 'plug.ground', ohms: 2700 } as const;
  const { askFirst } = diagnose({ ...joint, readings: [...joint.readings, cord] });
  expect(askFirst).toContainEqual({
    slip: 'unexplained',
    text: expect.stringMatching(
      /neutral blade .* none of them, and once it shows the same again comes before/,
    ),
  });
  expect(asked(joint)).not.toContain('unexplained');
  // Nothing live is asked for twice.
  const skin = joint.readings.map((r) => ('to' in r && r.to === 'earth' ? { ...r, volts: 60 } : r));
  for (const a of diagnose({ ...joint, readings: skin as Reading[] }).askFirst)
    if (a.slip === 'unexplained') expect(a.text).not.toMatch(/again/);
});
