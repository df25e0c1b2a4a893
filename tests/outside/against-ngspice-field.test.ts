import { describe, expect, it } from 'vitest';
import { diagnose, leadingOf } from '../../src/faults/diagnose.js';
import { firstOfAll } from '../../src/faults/first-of-all.js';
import { goOnWith } from '../../src/faults/go-on-with.js';
import type { ReadingsFile, Test } from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import {
  fieldCircuit,
  fieldReadings,
  type InTheVan,
  type PoorJoint,
  type Supply,
} from './ngspice/field-deck.js';

/** The round, the supply's own slots with the cord out, and neutral to ground under load. */
const between = (test: 'voltage', place: string): Test[] =>
  (['hot-neutral', 'hot-ground', 'neutral-ground'] as const).map((pair) => {
    const [a, b] = pair.split('-');
    return { test, from: `${place}.${a}`, to: `${place}.${b}` };
  });
const neutralUnderLoad: Test = {
  test: 'loaded-voltage',
  from: 'outlet3.neutral',
  to: 'outlet3.ground',
  amps: 8,
};
const sag: Test = { test: 'loaded-voltage', from: 'supply.hot', to: 'supply.neutral', amps: 8 };
const round = [...fullSchedule(fieldCircuit), neutralUnderLoad];
const file = (supply: Partial<Supply>, joints: readonly PoorJoint[] = [], tests: readonly Test[] = round) =>
  fieldReadings(tests, supply, joints);
const leading = (taken: ReadingsFile) => leadingOf(diagnose(taken).suspects);

describe('a van on a supply as it is met, by decks of its own', () => {
  it('passes on a house near by, and is not accused of anything on any sound supply', () => {
    expect(diagnose(file({}))).toMatchObject({ verdict: 'pass', suspects: [] });
    for (const supply of [
      { wireOhm: 0.03 },
      { volts: 127 },
      { liftVolts: 1.5 },
      { volts: 112, wireOhm: 0.05 },
    ])
      expect({ supply, suspects: diagnose(file(supply)).suspects }).toEqual({ supply, suspects: [] });
  });

  it.each([0.4, 0.5, 0.6])(
    'at the end of a long way of %f Ω a wire is the supply’s sag before any joint',
    (wireOhm) => {
      const far = file({ wireOhm });
      expect(leading(far)[0]!.faults).toMatchObject([{ fault: 'high-resistance', where: 'supply' }]);
      const measured = file({ wireOhm }, [], [...round, sag]);
      expect(leading(measured).map((s) => s.faults.map((f) => f.where))).toEqual([['supply']]);
      const { ohms } = leading(measured)[0]!.faults[0] as { ohms: number };
      expect(Math.abs(ohms - (2 * wireOhm - 0.3))).toBeLessThan(0.15);
      const { joints, askFirst } = diagnose(measured);
      expect(joints.map((j) => j.what).filter((w) => w === 'look' || w === 'mend')).toEqual([]);
      expect(askFirst.map((a) => a.slip)).not.toContain('supply-sags');
    },
  );

  it('is a joint of the van where the supply was read under the same load and does not sag', () => {
    const joint = { at: 2, wire: 'n', ohm: 0.5, goodAtRest: true } as const;
    const [first] = leading(file({}, [joint], [...round, sag]));
    expect(first!.faults).toMatchObject([{ fault: 'high-resistance', conductor: 'neutral' }]);
    expect(first!.faults[0]!.where).not.toBe('supply');
  });
});

describe('a joint that reads well at rest and fails under load', () => {
  const joints = (['h', 'n'] as const).flatMap((wire) =>
    (['cord', 1, 2, 3] as const).flatMap((at) =>
      [0.6, 1.5, 3].map((ohm) => ({ at, wire, ohm, goodAtRest: true })),
    ),
  );

  it.each(joints)('of $ohm Ω in $wire of $at is among the leading suspects, and no open ground', (joint) => {
    const taken = file({}, [joint]);
    const conductor = joint.wire === 'h' ? 'hot' : 'neutral';
    const where = joint.at === 'cord' ? 'cord' : `feed${joint.at}`;
    const faults = leading(taken).flatMap((s) => s.faults);
    expect(faults).toContainEqual(expect.objectContaining({ fault: 'high-resistance', conductor, where }));
    expect(faults.filter((f) => f.fault === 'open')).toEqual([]);
  });

  it('of more than an ohm has the load off first, with its watts, and no load is asked for again', () => {
    for (const ohm of [1.5, 3]) {
      const taken = file({}, [{ at: 1, wire: 'n', ohm, goodAtRest: true }]);
      const answer = diagnose(taken);
      expect(firstOfAll(taken, answer)).toMatch(/^Take the load off now: about [\d.]+ Ω .* \d+ W of heat/);
      expect(goOnWith(taken, answer)).not.toMatchObject({ test: 'loaded-voltage' });
      expect(answer.askFirst.map((a) => a.text).join()).not.toMatch(/load on and off/);
    }
  });
});

describe('a poor contact in the face of one outlet', () => {
  const loads = [1, 2, 3].flatMap((k): Test[] =>
    (['hot', 'neutral'] as const).map((from) => ({
      test: 'loaded-voltage',
      from: `outlet${k}.${from}`,
      to: `outlet${k}.${from === 'hot' ? 'neutral' : 'ground'}`,
      amps: 8,
    })),
  );
  const tests = [...fullSchedule(fieldCircuit).filter((t) => t.test !== 'loaded-voltage'), ...loads];
  const contacts = (['h', 'n'] as const).flatMap((wire) =>
    ([1, 2, 3] as const).flatMap((k) => [true, false].map((goodAtRest) => ({ k, wire, goodAtRest }))),
  );

  it.each(contacts)(
    'of outlet $k, $wire, good at rest $goodAtRest, is named there, and neither supply nor ground is',
    ({ k, wire, goodAtRest }) => {
      const taken = file({}, [{ at: `face${k}`, wire, ohm: 1, goodAtRest }], tests);
      const conductor = wire === 'h' ? 'hot' : 'neutral';
      const faults = leading(taken).map((s) => s.faults);
      const [first] = faults[0]!;
      const own = { fault: 'high-resistance', conductor, where: `outlet${k}` };
      // At the last outlet no reading parts its face from its feed.
      if (k < 3) expect(faults).toEqual([[expect.objectContaining(own)]]);
      else expect(faults).toContainEqual([expect.objectContaining(own)]);
      expect(first).toMatchObject({ fault: 'high-resistance', conductor });
      expect(diagnose(taken).askFirst.map((a) => a.slip)).not.toContain('supply-sags');
    },
  );
});

describe('a join to ground ahead of a device whose electronics show', () => {
  const atInlet = (pole: string): Test => ({
    test: 'resistance',
    from: `inlet.${pole}`,
    to: 'inlet.ground',
  });
  const asked = (inTheVan: InTheVan, poles: readonly string[]) => {
    const dead = round.filter((t) => t.test === 'resistance' && !t.from.startsWith('inlet.'));
    const taken = fieldReadings([...dead, ...poles.map(atInlet)], {}, [], inTheVan);
    return diagnose(taken).askFirst.flatMap((a) => (a.slip === 'device-electronics' ? [a.text] : []));
  };
  const strap = { path: { from: 'in', to: 'ig', ohm: 0.3 }, electronicsOhm: 130_000 };

  it('of neutral lets hot look joined: neutral is asked for first, then the lower of the two is mended first', () => {
    expect(asked(strap, ['hot'])).toEqual([
      expect.stringMatching(
        /where neutral is joined to ground, hot shows them .*Read the inlet’s neutral pin/,
      ),
    ]);
    expect(asked(strap, ['hot', 'neutral'])).toEqual([
      expect.stringMatching(/^The inlet’s neutral pin shows fewer ohms to ground: mend that join first/),
    ]);
  });

  it('of hot lets neutral look joined, and is mended first too', () => {
    const nick = { path: { from: 'ih', to: 'ig', ohm: 4600 }, electronicsOhm: 450_000 };
    expect(asked(nick, ['hot', 'neutral'])).toEqual([
      expect.stringMatching(/^The inlet’s hot pin shows fewer ohms to ground: mend that join first/),
    ]);
  });

  it('is a path of its own where the other pole is apart', () => {
    expect(asked({ path: { from: 'ih', to: 'ig', ohm: 130_000 } }, ['hot', 'neutral'])).toEqual([]);
    expect(asked({ electronicsOhm: 130_000 }, ['hot', 'neutral'])).toEqual([]);
  });
});

describe('a supply that is off its volts', () => {
  const withOwn = [...round, ...between('voltage', 'supply')];
  const asked = (taken: ReadingsFile) => diagnose(taken).askFirst.map((a) => a.text);

  it.each([106, 110, 112])(
    'of %i V is said beside the failing drop, though its own slots were read',
    (volts) => {
      expect(asked(file({ volts }, [], withOwn))).toContainEqual(
        expect.stringMatching(/^Is there another supply\?/),
      );
    },
  );

  it('of 240 V is asked for two hots before any suspect, and nothing live is read on', () => {
    const taken = file({ twoHots: true }, [], withOwn);
    const answer = diagnose(taken);
    expect(answer.verdict).toBe('fail');
    expect(answer.askFirst.map((a) => a.text)).toContainEqual(expect.stringMatching(/240 V with two hots/));
    expect(firstOfAll(taken, answer)).toMatch(/^Unplug at the supply/);
    expect(goOnWith(taken, answer)).toBeNull();
  });

  it('of 131.5 V is no pass on a meter that may be off by more than is left to 132 V', () => {
    const polarity = diagnose(file({ volts: 131.5 })).limits.filter((l) => l.rule === 'polarity');
    expect(polarity.map((l) => l.verdict)).toEqual(['unproven', 'unproven', 'unproven']);
  });

  it('whose neutral other loads hold the other way shows less of it under load than at rest, and is laid to nothing', () => {
    for (const liftVolts of [-1.2, -1.5, -2]) {
      const taken = file({ liftVolts, wireOhm: 0.05 });
      const at3 = taken.readings.filter((r) => 'from' in r && r.from === 'outlet3.neutral' && 'volts' in r);
      const [idle, underLoad] = at3.map((r) => ('volts' in r ? r.volts : 0));
      expect(underLoad, `${liftVolts} V`).toBeLessThan(idle! - 0.5);
      expect(diagnose(taken).suspects, `${liftVolts} V`).toEqual([]);
    }
  });

  it('whose neutral other loads lift is laid to no joint', () => {
    const { joints } = diagnose(file({ liftVolts: 4 }, [], withOwn));
    expect(joints.map((j) => j.what)).not.toContain('look');
    expect(joints.map((j) => j.what)).not.toContain('mend');
  });
});

describe('a supply that is wired wrong', () => {
  it('without a join of neutral and ground passes nothing, and is asked for before a wire', () => {
    const taken = file({ bonded: false });
    const answer = diagnose(taken);
    expect(answer.verdict).toBe('fail');
    expect(answer.askFirst.map((a) => a.slip)).toContain('source-floats');
    expect(leadingOf(answer.suspects).flatMap((s) => s.faults.map((f) => f.where))).toEqual(['supply']);
  });

  it.each([
    ['hot and neutral exchanged', { exchanged: ['h', 'n'] }],
    ['hot and ground exchanged', { exchanged: ['h', 'g'] }],
    ['no ground', { open: ['g'] }],
    ['no ground, and its slot jumped to the neutral', { open: ['g'], jumped: true }],
    ['hot and neutral exchanged, no ground, jumped', { exchanged: ['h', 'n'], open: ['g'], jumped: true }],
  ] as const)('%s: no pass, and no wire of the van leads', (_, supply) => {
    const answer = diagnose(file(supply as Partial<Supply>));
    expect(answer.verdict).not.toBe('pass');
    if ('jumped' in supply && !('exchanged' in supply)) {
      // All that shows it is a neutral that drops too little, as on a stiff supply.
      expect(answer.askFirst.map((a) => a.slip)).toContain('supply-stiff');
      return;
    }
    expect(leadingOf(answer.suspects)[0]!.faults.map((f) => f.where)).toEqual(['supply']);
  });
});
