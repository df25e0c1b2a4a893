import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import { firstOfAll } from '../../src/faults/first-of-all.js';
import { goOnWith } from '../../src/faults/go-on-with.js';
import type { Fault } from '../../src/meter/fault.js';
import type { ReadingsFile } from '../../src/meter/readings-file.js';
import { van } from '../meter/vans.js';
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
