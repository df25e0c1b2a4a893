import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import { firstOfAll } from '../../src/faults/first-of-all.js';
import { goOnWith } from '../../src/faults/go-on-with.js';
import type { Fault } from '../../src/meter/fault.js';
import { predict } from '../../src/meter/predict.js';
import type { Reading, ReadingsFile, Test } from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { van } from '../meter/vans.js';
import { sameFaults } from './same-faults.js';
import { shownBy } from './shown-by.js';

/**
 * Supplies and devices as one meets them. The volts beside each are what ngspice gave for the van of these tests with the netlist
 * that is named: source, half the loop in each conductor, cord, cables, the device's 30 kΩ, a meter of 10 MΩ.
 */

/** The round of a van with these faults, where the readings between two points (from, to) show what is given. */
function round(
  shown: Readonly<Record<string, number>>,
  truth: readonly Fault[] = [],
  circuit = van(3),
): ReadingsFile {
  const { readings, ...file } = shownBy(truth, { circuit });
  const of = (r: { test: string; from: string; to: string }) => {
    const [from, to] = [r.from, r.to].map((p) => p.replace(/^outlet\d/, 'outlet'));
    const kind = r.test === 'voltage' ? '' : r.test === 'resistance' ? 'ohms ' : 'loaded ';
    return shown[`${kind}${from} ${to}`];
  };
  const changed = readings.map((r) => {
    const value = 'from' in r ? of(r) : undefined;
    if (value === undefined) return r;
    return 'ohms' in r ? { ...r, ohms: value } : { ...r, volts: value };
  });
  return { ...file, readings: changed as ReadingsFile['readings'] };
}

const named = (file: ReadingsFile) => diagnose(file).suspects.map((s) => s.faults);
const asked = (file: ReadingsFile) => diagnose(file).askFirst.map((a) => a.slip);
const openSupplyGround: Fault = { fault: 'open', conductor: 'ground', where: 'supply' };

describe('a sound van', () => {
  it('is not laid to an open ground where other loads lift the supply’s neutral by a volt and a half', () => {
    // Vneutral in series with the supply's neutral, 1.5 V.
    const lifted = round({
      'outlet.hot outlet.neutral': 118.5,
      'outlet.neutral outlet.ground': 1.5,
      'loaded outlet.hot outlet.neutral': 115,
    });
    expect(named(lifted)).toEqual([]);
    const slots = diagnose(lifted).limits.filter((l) => l.rule === 'polarity');
    expect(slots.map((l) => l.verdict)).toEqual(['pass', 'pass', 'pass']);
  });

  it('is not laid to a lost neutral by a fine meter that shows what the lift takes from hot to neutral', () => {
    const lifted = round({ 'outlet.hot outlet.neutral': 118.5, 'outlet.neutral outlet.ground': 1.5 });
    const few = lifted.readings.filter((r) => r.test !== 'loaded-voltage');
    const volts = { percent: 0.5, counts: 2, resolution: 0.01 };
    expect(named({ ...lifted, meter: { ...lifted.meter, volts }, readings: few })).toEqual([]);
  });

  it('is not laid to a hot lost at the supply by the first slot that is read on a supply of 109 V', () => {
    const { readings, ...file } = round({ 'outlet.hot outlet.neutral': 109, 'chassis earth': 0.8 });
    const first = readings.filter(
      (r) =>
        r.test === 'resistance' ||
        (r.test === 'observation' && !('at' in r)) ||
        (r.test === 'voltage' && (r.from === 'chassis' || r.to === 'outlet1.neutral')),
    );
    const begun = { ...file, readings: first };
    expect(named(begun)).toEqual([]);
    expect(goOnWith(begun, diagnose(begun))).not.toBeNull();
  });

  it('may be read with leads that were not nulled: asked first, before enough readings tell it', () => {
    const { readings, ...file } = round({ 'ohms inlet.ground chassis': 0.4 });
    expect(asked({ ...file, readings: readings.slice(0, 1) })).toContain('leads-not-nulled');
    expect(asked({ ...file, readings })).not.toContain('leads-not-nulled');
  });

  it('is not laid to an open ground where the supply’s ground stands a volt over true earth', () => {
    // Vground in series with the supply's ground, 1 V.
    const lifted = round({
      'chassis earth': 1,
      'outlet.hot outlet.ground': 119,
      'outlet.neutral outlet.ground': 1,
    });
    expect(named(lifted)).toEqual([]);
    expect(diagnose(lifted).verdict).toBe('pass');
  });

  it('is still told from an open ground at the supply, whose slots float, and no lift explains half the volts', () => {
    expect(named(round({}, [openSupplyGround]))).toContainEqual([openSupplyGround]);
  });

  it('may show its device’s electronics between hot and neutral: asked first, and the round goes on', () => {
    // R 250 kΩ across LINE, the cord out.
    const shows = round({ 'ohms inlet.hot inlet.neutral': 250_000 });
    expect(asked(shows)).toContain('device-electronics');
    expect(diagnose(shows).suspects[0]!.probability).toBeLessThan(0.6);
    const dead = { ...shows, readings: shows.readings.filter((r) => r.test === 'resistance') };
    expect(goOnWith(dead, diagnose(dead))).toEqual({ test: 'voltage', from: 'chassis', to: 'earth' });
    // Beside another fault that one stands alone as well, not only with a join.
    const open: Fault = { fault: 'open', conductor: 'ground', where: 'feed2' };
    const leading = diagnose(round({ 'ohms inlet.hot inlet.neutral': 250_000 }, [open])).suspects;
    const alone = leading.find((s) => s.faults.length === 1 && s.faults[0]!.where === 'feed2');
    expect(alone!.probability).toBeGreaterThan(0.3);
    // Metal on metal is no electronics.
    expect(asked(round({ 'ohms inlet.hot inlet.neutral': 3 }))).not.toContain('device-electronics');
  });
});

describe('a supply', () => {
  it('of 240 V fails for certain, names no wire of the van, and is unplugged first', () => {
    // Vsource 240 V: every hot slot at 240 V to neutral and to ground.
    const high = round({
      'outlet.hot outlet.neutral': 240,
      'outlet.hot outlet.ground': 240,
      'loaded outlet.hot outlet.neutral': 232.8,
    });
    const answer = diagnose(high);
    expect(answer.verdict).toBe('fail');
    expect(answer.suspects).toEqual([]);
    expect(firstOfAll(high, answer)).toMatch(/^Unplug at the supply .* More than 132 V stand there/);
    const dead = high.readings.filter((r) => r.test === 'resistance');
    const few = { ...high, readings: [...dead, ...high.readings.filter((r) => r.test === 'voltage')] };
    expect(goOnWith(few, diagnose(few))).toBeNull();
  });

  it('whose neutral and ground are joined nowhere is asked for beside an open ground', () => {
    // Vsource between two nodes with 5 nF each to its frame: 60 V to ground at every slot.
    const floats = round({ 'outlet.hot outlet.ground': 60, 'outlet.neutral outlet.ground': 60 });
    expect(named(floats)).toContainEqual([openSupplyGround]);
    expect(asked(floats)).toContain('source-floats');
    expect(asked(round({}))).toEqual([]);
  });

  it('that sags under the load is asked for before the joints of the van', () => {
    // Rloop 1.2 Ω in the place of the assumed 0.3: 109.4 V with 8 A at outlet 3.
    const sags = round({ 'loaded outlet.hot outlet.neutral': 109.4 });
    expect(asked(sags)).toContain('supply-sags');
  });

  it('that stands low is asked for where its slots are under their share of the nominal volts', () => {
    // Vsource 106 V.
    const low = round({
      'outlet.hot outlet.neutral': 106,
      'outlet.hot outlet.ground': 106,
      'loaded outlet.hot outlet.neutral': 102.6,
    });
    expect(named(low)).toEqual([]);
    expect(
      diagnose(low)
        .askFirst.map((a) => a.text)
        .join(),
    ).toMatch(/about 106 V of 120 V/);
  });
});

it('no pair names a path of more ohms than the meter shows, or a joint as good as sound', () => {
  const sags = round({ 'loaded outlet.hot outlet.neutral': 109.4, 'outlet.hot outlet.neutral': 112 });
  const odd = named(sags)
    .flat()
    .filter((f) => 'ohms' in f && f.ohms !== undefined && (f.ohms > 4e7 || f.ohms <= 0.05));
  expect(odd).toEqual([]);
});

describe('a fault on such a supply', () => {
  /** The same readings where the supply stands at other volts. */
  const atVolts = (file: ReadingsFile, volts: number): ReadingsFile => ({
    ...file,
    readings: file.readings.map((r) =>
      'volts' in r ? { ...r, volts: Number(((r.volts * volts) / 120).toFixed(1)) } : r,
    ),
  });
  /** The round where a device or a load answers otherwise, and what is read after that is left out. */
  const answering = (file: ReadingsFile, no: string, after: RegExp): ReadingsFile => ({
    ...file,
    readings: file.readings.flatMap((r) => {
      if (r.test === 'observation' && r.what === no && 'answer' in r) return [{ ...r, answer: false }];
      return after.test(r.test === 'observation' ? r.what : r.test) ? [] : [r];
    }),
  });

  it('is no open ground where the supply stands at 106 V and its neutral is lifted by a volt', () => {
    // Vsource 106.5 V, Vneutral 1.1 V.
    const low = round({
      'outlet.hot outlet.neutral': 105.2,
      'outlet.hot outlet.ground': 106.3,
      'outlet.neutral outlet.ground': 1.2,
      'loaded outlet.hot outlet.neutral': 102.3,
    });
    expect(named(low)).toEqual([]);
  });

  it('is a lost hot where the lift stands beside it, not a lost neutral', () => {
    // Vsource 107.6 V, Vneutral 1.3 V; the hot slot of outlet 1 not connected.
    const lost: Fault = { fault: 'face-open', conductor: 'hot', where: 'outlet1' };
    const lifted = round({ 'outlet.hot outlet.neutral': 1.2, 'outlet.neutral outlet.ground': 1.3 }, [lost]);
    const before = lifted.readings.findIndex((r) => 'to' in r && r.to === 'outlet1.neutral' && 'volts' in r);
    const until = { ...lifted, readings: lifted.readings.slice(0, before + 1) };
    const neutral = lifted.readings.find((r) => 'from' in r && r.from === 'outlet1.neutral' && 'volts' in r)!;
    expect(named({ ...until, readings: [...until.readings, neutral] })).toContainEqual([lost]);
  });

  it('is told where two wires are exchanged and the lift stands between other slots', () => {
    // Vsource 125.7 V, Vneutral 1.6 V, hot and neutral exchanged on the way to outlet 1.
    const exchanged: Fault = { fault: 'swapped', conductors: ['hot', 'neutral'], where: 'feed1' };
    const lifted = round(
      {
        'outlet.hot outlet.neutral': 124.1,
        'outlet.hot outlet.ground': 1.6,
        'outlet.neutral outlet.ground': 125.7,
        'loaded outlet.hot outlet.neutral': 120.5,
      },
      [exchanged],
    );
    expect(named(lifted)[0]).toEqual([exchanged]);
  });

  it('is a join of neutral and ground that no device bears, though it is of more than 4 Ω', () => {
    // Vneutral 1 V over 60 Ω behind the device: 17 mA.
    const joined: Fault = { fault: 'joined', conductors: ['neutral', 'ground'], where: 'outlet3', ohms: 60 };
    const holds = round(
      { 'outlet.hot outlet.neutral': 2, 'outlet.hot outlet.ground': 2, 'outlet.neutral outlet.ground': 0 },
      [joined],
    );
    const fell = answering(holds, 'gfci-resets', /dead-when-tripped|holds-under-load|loaded-voltage/);
    expect(named(fell).every(([f, other]) => f!.fault === 'joined' && other === undefined)).toBe(true);
    expect(named(fell).flat()).toContainEqual(joined);
  });

  it('is an exchange of hot and ground alone, where a load behind it takes what lifts the neutral', () => {
    // Vneutral 1.2 V over 15 Ω from the ground to the neutral: 80 mA.
    const exchanged: Fault = { fault: 'swapped', conductors: ['hot', 'ground'], where: 'feed2' };
    const fell = answering(round({}, [exchanged]), 'holds-under-load', /loaded-voltage/);
    expect(named(fell)[0]).toEqual([exchanged]);
  });

  it('is a skin at the supply’s full volts before it is an open ground, over what the ground stands on', () => {
    // Vsource 121 V, Vneutral 1.3 V, Vearth 1.3 V.
    const bootleg: Fault = { fault: 'bootleg-reversed', where: 'supply' };
    const skin = {
      'chassis earth': 122.5,
      'outlet.hot outlet.ground': 119,
      'outlet.hot outlet.neutral': 119,
    };
    expect(named(round(skin, [bootleg]))[0]).toEqual([bootleg]);
    // No ghost is so near to what the supply has, though it has no more than 109 V.
    expect(named(atVolts(round({}, [bootleg]), 109))[0]).toEqual([bootleg]);
  });

  it('is a path that pulls the slots down from what they would show, not from the nominal volts', () => {
    // Vsource 124.5 V, 10.8 Ω between hot and neutral at outlet 6 of 7.
    const path: Fault = { fault: 'joined', conductors: ['hot', 'neutral'], where: 'outlet6', ohms: 10.8 };
    const truth: Fault[] = [{ fault: 'open', conductor: 'ground', where: 'feed1' }, path];
    const first = named(atVolts(round({}, truth, van(7)), 124.5))[0]!;
    expect(first.map((f) => f.fault).sort()).toEqual(['joined', 'open']);
  });

  // 12 A on 0.9 Ω of the supply's own way; what lifts the neutral adds to its volts over ground, and takes from hot to neutral.
  it('is one join, and nothing beside it, where it draws on a low and weak supply whose neutral is lifted', () => {
    const join: Fault = { fault: 'joined', conductors: ['hot', 'ground'], where: 'inlet', ohms: 8 };
    const weak = { ...van(3), supply: { volts: 109, loopOhms: 0.9 } };
    const lifted = shownBy([join], { circuit: weak }).readings.map((r) => {
      if (!('volts' in r)) return r;
      const [hot, neutral] = ['.hot', '.neutral'].map((pole) => [r.from, r.to].some((p) => p.endsWith(pole)));
      const lift = r.to === 'earth' ? 1.2 : neutral ? (hot ? -1.5 : 1.5) : 0;
      return { ...r, volts: Number((r.volts + lift).toFixed(1)) };
    });
    expect(named({ ...round({}), readings: lifted }).map((faults) => faults.map((f) => f.fault))).toEqual([
      ['joined'],
    ]);
  });

  // Leads of half an ohm stand in every low reading alike, and hide no second fault.
  it.each<[Fault, Fault]>([
    [
      { fault: 'high-resistance', conductor: 'neutral', where: 'feed2', ohms: 1 },
      { fault: 'open', conductor: 'neutral', where: 'feed3' },
    ],
    [
      { fault: 'swapped', conductors: ['hot', 'ground'], where: 'feed2' },
      { fault: 'high-resistance', conductor: 'hot', where: 'feed1', ohms: 1 },
    ],
    [
      { fault: 'open', where: 'bond' },
      { fault: 'high-resistance', conductor: 'hot', where: 'feed2', ohms: 1 },
    ],
  ])('is told beside another through leads that were not nulled (%#)', (...pair) => {
    const file = round({}, pair);
    const readings = file.readings.map((r) =>
      r.test === 'resistance' && r.ohms !== null ? { ...r, ohms: Number((r.ohms + 0.5).toFixed(1)) } : r,
    );
    const [first] = diagnose({ ...file, readings }).suspects;
    expect(sameFaults(first?.faults ?? [], pair), first?.text).toBe(true);
  });

  it('is a joint whose ohms are fitted at the volts that the slots show', () => {
    const poor: Fault = { fault: 'high-resistance', conductor: 'neutral', where: 'feed2', ohms: 0.8 };
    const low = atVolts(round({}, [poor]), 107);
    const live = { ...low, readings: low.readings.filter((r) => r.test !== 'resistance') };
    const joint = named(live)
      .flat()
      .find((f) => f.fault === 'high-resistance' && f.where === 'feed2' && 'ohms' in f);
    expect(Math.abs((joint as { ohms: number }).ohms - 0.8)).toBeLessThan(0.1);
  });
});

describe('a load of 8 A at 120 V is 15 Ω, whatever the supply’s own slots show', () => {
  const fine = {
    ohms: { percent: 0.2, counts: 1, resolution: 0.01, overLimit: 4e7 },
    volts: { percent: 0.05, counts: 2, resolution: 0.01 },
    inputOhms: 1e7,
  };
  const nominal = { ...van(3), cord: { awg: 14, lengthM: 15 } };
  const atSupply: Test[] = [
    { test: 'voltage', from: 'supply.hot', to: 'supply.neutral' },
    { test: 'loaded-voltage', from: 'supply.hot', to: 'supply.neutral', amps: 8 },
  ];
  const tests = [...fullSchedule(nominal), ...atSupply];

  /** What such a meter shows where the supply has these volts: 15 Ω draw 8 A of 120 V, and as much less as they are lower. */
  function on(volts: number, truth: readonly Fault[] = []): ReadingsFile {
    const real = { ...nominal, supply: { ...nominal.supply, volts } };
    const drawn = tests.map((t) => ('amps' in t ? { ...t, amps: (8 * volts) / 120 } : t));
    const readings = predict(real, fine, truth, drawn).map((p, i) => {
      if (p.kind === 'ohms') return { ...tests[i], ohms: p.ohms && Number(p.ohms.toFixed(2)) };
      return p.kind === 'volts'
        ? { ...tests[i], volts: Number(p.volts.toFixed(2)) }
        : { ...tests[i], answer: p.kind === 'answer' && p.answer };
    });
    return { format: 'inlet-readings/1', circuit: nominal, meter: fine, readings: readings as Reading[] };
  }

  it.each([104.5, 108, 126, 131])('at %s V a sound van has no joint, and no supply sags', (volts) => {
    const answer = diagnose(on(volts));
    expect(answer.suspects).toEqual([]);
    expect(Math.abs(answer.joints[0]!.ohms)).toBeLessThan(0.01);
  });

  it('at 108 V a joint of 0.27 Ω is one to be mended', () => {
    const joint: Fault = { fault: 'high-resistance', conductor: 'hot', where: 'feed2', ohms: 0.27 };
    expect(diagnose(on(108, [joint])).joints[0]).toMatchObject({ what: 'mend' });
  });
});

it.each([
  ['low', 102],
  ['that lost its neutral', 87],
])('a supply %s, %d V at its own slots, has no open hot, and is plugged into nothing', (_, volts) => {
  const own = (a: string, b: string, shown: number): Reading => ({
    ...{ test: 'voltage', from: `supply.${a}`, to: `supply.${b}` },
    volts: shown,
  });
  const readings = [own('hot', 'neutral', volts), own('hot', 'ground', volts), own('neutral', 'ground', 0.1)];
  const { suspects, askFirst } = diagnose({ ...shownBy([]), readings });
  expect(suspects).toEqual([]);
  expect(askFirst.map((a) => a.text).join()).toMatch(
    /shows about \d+ V of 120 V .* lost its neutral .* plug nothing in/,
  );
});

it('a supply that gives way at its own slots has the load off first, whatever else is suspected', () => {
  const under = (volts: number): ReadingsFile => {
    const sag = { test: 'loaded-voltage', from: 'supply.hot', to: 'supply.neutral', amps: 8, volts } as const;
    const file = shownBy([]);
    return { ...file, readings: [...file.readings, sag] };
  };
  const first = (file: ReadingsFile) => firstOfAll(file, diagnose(file));
  expect(first(under(59.3))).toMatch(/^Take the load off now, and unplug: .* lost its neutral/);
  expect(first(under(117))).toBeUndefined();
});
