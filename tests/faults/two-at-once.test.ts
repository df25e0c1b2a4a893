import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import { Evidence } from '../../src/faults/evidence.js';
import { rankSuspects } from '../../src/faults/suspects.js';
import type { Conductor } from '../../src/meter/electrical-circuit.js';
import type { Fault } from '../../src/meter/fault.js';
import type { ReadingsFile } from '../../src/meter/readings-file.js';
import { van } from '../meter/vans.js';
import { makeCase } from '../outside/ngspice/make-cases.js';
import { cannotPart, leadingGroup, sameFaults } from './same-faults.js';
import { shownBy } from './shown-by.js';

const poor = (conductor: Conductor, where: 'cord' | `feed${number}`, ohms: number): Fault => ({
  fault: 'high-resistance',
  conductor,
  where,
  ohms,
});
const open = (conductor: Conductor, where: 'supply' | 'cord' | `feed${number}`): Fault => ({
  fault: 'open',
  conductor,
  where,
});
const swapped = (
  a: Conductor,
  b: Conductor,
  where: 'supply' | 'cord' | `feed${number}` | `outlet${number}`,
): Fault =>
  ({ fault: where.startsWith('outlet') ? 'face-swapped' : 'swapped', conductors: [a, b], where }) as Fault;
const joined = (a: Conductor, b: Conductor, where: 'inlet' | `outlet${number}`, ohms?: number): Fault => ({
  fault: 'joined',
  conductors: [a, b],
  where,
  ...(ohms === undefined ? {} : { ohms }),
});
const fedFromLine: Fault = { fault: 'fed-from-line', where: 'outlet1' };
const reversed: Fault = { fault: 'line-load-reversed', where: 'outlet1' };

const pairs: readonly [what: string, faults: readonly Fault[]][] = [
  [
    'two poor joints in one conductor are told apart',
    [poor('neutral', 'feed2', 2.78), poor('neutral', 'feed3', 1.42)],
  ],
  ['so are two in the cord and the feed behind it', [poor('hot', 'cord', 0.9), poor('hot', 'feed1', 1.6)]],
  [
    'an exchange and a jumper of the same two conductors are both seen',
    [swapped('neutral', 'ground', 'feed3'), joined('neutral', 'ground', 'outlet3', 0.49)],
  ],
  [
    'an exchange and damp between the same two are no pair of poor joints',
    [swapped('hot', 'ground', 'feed1'), joined('hot', 'ground', 'inlet', 140_400)],
  ],
  [
    'an exchange and damp behind it are both seen',
    [swapped('hot', 'neutral', 'feed2'), joined('hot', 'neutral', 'outlet4', 289_800)],
  ],
  [
    'an exchanged face and damp elsewhere are both seen',
    [swapped('neutral', 'ground', 'outlet5'), joined('neutral', 'ground', 'outlet1', 5441)],
  ],
  ['an open cord hides no exchange behind it', [open('neutral', 'cord'), swapped('hot', 'neutral', 'feed1')]],
  [
    'an open ground in the cord hides no exchange with it',
    [open('ground', 'cord'), swapped('hot', 'ground', 'feed2')],
  ],
  [
    'an exchanged supply is seen through a jumper that holds the device off',
    [swapped('hot', 'neutral', 'supply'), joined('neutral', 'ground', 'outlet1', 0.79)],
  ],
  [
    'a reversed supply without ground is seen beside an open slot',
    [
      { fault: 'bootleg-reversed', where: 'supply' },
      { fault: 'face-open', conductor: 'hot', where: 'outlet1' },
    ],
  ],
  [
    'a jumper is seen through a run that bypasses the device',
    [joined('neutral', 'ground', 'outlet5'), fedFromLine],
  ],
  ['a poor ground is not taken for leads that were not nulled', [reversed, poor('ground', 'feed1', 0.34)]],
  [
    'a poor joint ahead of a short is fitted together with it',
    [poor('hot', 'feed1', 2.77), joined('hot', 'neutral', 'outlet2', 1.273)],
  ],
  [
    'a poor joint into a dead short is fitted together with it',
    [poor('neutral', 'feed3', 2.94), joined('hot', 'neutral', 'outlet3')],
  ],
];

describe('two faults at once, read with ngspice over five outlets', () => {
  it.each(pairs)('%s', (_, truth) => {
    for (const seed of [1, 2]) {
      const { file } = makeCase(van(5), truth, seed);
      const group = leadingGroup(diagnose(file));
      expect(
        group.some((s) => sameFaults(s.faults, truth) || cannotPart(file, s.faults, truth)),
        `${seed}: ${group.map((s) => s.text).join(' | ')}`,
      ).toBe(true);
    }
  });
});

describe('one fault that explains every reading', () => {
  const hypothesesOf = (file: ReadingsFile) =>
    rankSuspects(new Evidence(file.circuit, file.meter, file.readings)).hypotheses;

  it('is not weighed in pairs', () => {
    for (const fault of [
      open('neutral', 'feed2'),
      poor('hot', 'feed3', 0.8),
      joined('hot', 'ground', 'inlet'),
    ])
      expect(hypothesesOf(shownBy([fault])).every((h) => h.faults.length < 2)).toBe(true);
  });

  it('may be a short behind a device that was reset before it came', () => {
    // The volts sag only with the contacts closed: whether the device rides it out, the readings say.
    const circuit = {
      ...van(3),
      supply: { volts: 120, loopOhms: 0.5 },
      cord: { awg: 16, lengthM: 15 },
    };
    const short = joined('hot', 'neutral', 'outlet3', 0.8);
    const file = shownBy([short], { circuit });
    for (const answer of [true, false]) {
      const readings = file.readings
        .filter((r) => r.test === 'resistance' || r.test === 'observation')
        .map((r) => (r.test === 'observation' && r.what === 'gfci-resets' ? { ...r, answer } : r));
      const leading = hypothesesOf({ ...file, readings }).filter((h) => h.probability > 0.1);
      expect(leading.some((h) => sameFaults(h.faults, [short]))).toBe(true);
      expect(leading.every((h) => h.faults.length === 1)).toBe(true);
    }
  });

  it('is fitted on the other side of the breaker’s threshold where the breaker says so', () => {
    // Read 0.15 Ω too little, which the meter may, the path would trip the breaker; it held.
    const short = joined('hot', 'ground', 'outlet1', 1.25);
    const exact = shownBy([short]);
    const held = exact.readings.find((r) => r.test === 'observation' && r.what === 'supply-holds');
    expect(held).toMatchObject({ answer: true });
    const readings = exact.readings.map((r) =>
      r.test === 'resistance' && r.ohms !== null && r.ohms > 1 ? { ...r, ohms: r.ohms - 0.15 } : r,
    );
    const [first] = hypothesesOf({ ...exact, readings });
    expect(sameFaults(first!.faults, [short])).toBe(true);
    expect(first!.logLikelihood).toBeGreaterThan(-1);
  });
});
