import type { Meter } from '../../../src/meter/meter.js';
import type { Reading, ReadingsFile, Test } from '../../../src/meter/readings-file.js';
import { type Random, randomFrom } from '../../random-from.js';
import { runNgspice } from './run-ngspice.js';

/**
 * Vans on supplies as one meets them, which the readings language has no word for: a source that floats, two hots, a shared neutral
 * under other loads, a long way to the receptacle, a van that stands on its tyres; and joints that only a current shows. Written
 * as decks of their own, from the trade's papers, and from nothing in the product: ngspice measures, a meter errs, the file
 * gives the supply as nominal.
 */
export type Wire = 'h' | 'n' | 'g';

export interface Supply {
  readonly volts: number;
  /** Source to receptacle, each wire, Ω. */
  readonly wireOhm: number;
  /** Its neutral is joined to its ground; without that each pole hangs on the filter's two capacitors. */
  readonly bonded: boolean;
  /** What other loads lift its neutral by, V. */
  readonly liftVolts: number;
  /** The neutral slot has the other hot. */
  readonly twoHots: boolean;
  readonly open: readonly Wire[];
  readonly exchanged?: readonly [Wire, Wire];
  /** Its ground slot is jumped to its neutral slot. */
  readonly jumped: boolean;
}

export const house: Supply = {
  volts: 120,
  wireOhm: 0.15,
  bonded: true,
  liftVolts: 0,
  twoHots: false,
  open: [],
  jumped: false,
};

/** A joint: its Ω, where (the cord, a feed by its number, the face of one outlet), and whether it reads well at rest. */
export interface PoorJoint {
  readonly at: 'cord' | number | `face${1 | 2 | 3}`;
  readonly wire: Wire;
  readonly ohm: number;
  readonly goodAtRest: boolean;
}

/** What lies in the van besides its wires: a path from node to node (`in`: the inlet's neutral), and what the device's electronics read dead. */
export interface InTheVan {
  readonly path?: { readonly from: string; readonly to: string; readonly ohm: number };
  readonly electronicsOhm?: number;
}

export const fieldMeter: Meter = {
  ohms: { percent: 0.9, counts: 2, resolution: 0.1, overLimit: 40_000_000 },
  volts: { percent: 1, counts: 3, resolution: 0.1 },
  inputOhms: 10_000_000,
};

const circuit: ReadingsFile['circuit'] = {
  supply: { volts: 120, loopOhms: 0.3 },
  cord: { awg: 12, lengthM: 7.6 },
  inlet: { amps: 15 },
  breaker: { amps: 15 },
  bond: { awg: 8, lengthM: 1 },
  run: [3, 2, 2].map((lengthM, k) => ({
    device: k === 0 ? ('gfci-receptacle' as const) : ('receptacle' as const),
    feed: { awg: 12, lengthM },
  })),
};

const wires = ['h', 'n', 'g'] as const;
const loadOhm = 120 / 8;

interface State {
  readonly supply: Supply;
  readonly joints: readonly PoorJoint[];
  readonly inTheVan: InTheVan;
  readonly test: Test;
}

/** One set-up: the whole van, the load where the test has one, the meter between its points. */
function deck(prefix: string, { supply, joints, inTheVan, test }: State): string[] {
  const lines: string[] = [];
  const node = (name: string) => (name === 'earth' ? '0' : `${prefix}${name}`);
  const add = (kind: 'R' | 'C', a: string, b: string, value: number) =>
    lines.push(`${kind}${prefix}${lines.length} ${node(a)} ${node(b)} ${value}`);
  const live = test.test !== 'resistance';
  const loaded =
    test.test === 'loaded-voltage' || (test.test === 'observation' && test.what === 'holds-under-load');
  const ohmPerM = (0.0172414 * 1.02) / 3.3088;
  const jointOhm = (at: PoorJoint['at'], w: Wire) =>
    joints
      .filter((j) => j.at === at && j.wire === w && (loaded || !j.goodAtRest))
      .reduce((sum, j) => sum + j.ohm, 0);
  const cable = (at: PoorJoint['at'], from: string, to: string, lengthM: number) => {
    for (const w of wires) {
      add('R', `${from}${w}`, `${to}${w}`, ohmPerM * lengthM + 0.005 + jointOhm(at, w));
      if (live) add('C', `${to}${w}`, `${to}${wires[(wires.indexOf(w) + 1) % 3]}`, 100e-12 * lengthM);
    }
  };
  if (live) {
    lines.push(`V${prefix}s ${node('sh')} ${node('sn')} dc 0 ac ${supply.volts}`);
    lines.push(`V${prefix}l ${node('lifted')} ${node('sn')} dc 0 ac ${supply.liftVolts}`);
    lines.push(`V${prefix}o ${node('other')} ${node('sn')} dc 0 ac ${-supply.volts}`);
    add('R', 'sn', 'sg', supply.bonded ? 0.001 : 50e6);
    if (!supply.bonded) for (const pole of ['sh', 'sn']) add('C', pole, 'sg', 4.7e-9);
    add('R', 'sg', 'earth', supply.bonded ? 10 : 20e6);
    const source = { h: 'sh', n: supply.twoHots ? 'other' : 'lifted', g: 'sg' };
    const [a, b] = supply.exchanged ?? [];
    for (const w of wires) {
      const slot = w === a ? b! : w === b ? a! : w;
      if (!supply.open.includes(w)) add('R', source[w], `p${slot}`, supply.wireOhm);
      add('C', `p${w}`, 'earth', 30e-12);
    }
    if (supply.jumped) add('R', 'pn', 'pg', 0.01);
    add('R', 'body', 'earth', 50e6);
    add('C', 'body', 'earth', 2e-9);
  }
  const cordOut = live && 'from' in test && test.from.startsWith('connector');
  cable('cord', 'p', live && !cordOut ? 'i' : 'e', circuit.cord.lengthM);
  add('R', 'ig', 'body', 0.0112);
  cable(1, 'i', 'l1', 3);
  for (const w of wires) {
    // Contacts closed with power, open without.
    add(
      'R',
      `l1${w}`,
      `d1${w}`,
      (live && !(test.test === 'observation' && test.what === 'dead-when-tripped')) || w === 'g'
        ? 0.001
        : 1e12,
    );
    add('R', `d1${w}`, `o1${w}`, 0.001 + jointOhm('face1', w));
    add('R', `s2${w}`, `o2${w}`, 0.001 + jointOhm('face2', w));
    add('R', `s3${w}`, `o3${w}`, 0.001 + jointOhm('face3', w));
  }
  const { path, electronicsOhm } = inTheVan;
  if (live || electronicsOhm !== undefined) add('R', 'l1h', 'l1n', electronicsOhm ?? 30_000);
  if (path !== undefined) add('R', path.from, path.to, path.ohm);
  cable(2, 'd1', 's2', 2);
  cable(3, 's2', 's3', 2);
  if (loaded) add('R', `${loadAt(test)}h`, `${loadAt(test)}n`, loadOhm);
  return lines;
}

function loadAt(test: Test): string {
  const at = 'at' in test ? test.at : 'from' in test ? test.from : '';
  return at.startsWith('outlet') ? `o${at.at(6)}` : 'o3';
}

function nodeOf(point: string): string {
  if (point === 'earth') return 'earth';
  if (point === 'chassis') return 'body';
  const [place = '', part = '', screw] = point.split('.');
  const wire = (screw ?? part)[0];
  if (place === 'supply' || place === 'plug') return `p${wire}`;
  if (place === 'inlet') return `i${wire}`;
  if (place === 'connector') return `e${wire}`;
  if (screw !== undefined) return `${part === 'line' ? 'l' : 'd'}1${wire}`;
  return `o${place.at(6)}${wire}`;
}

/** What a meter shows of some tests on this van and supply: up to 0.7 of its stated error off, then rounded. */
export function fieldReadings(
  tests: readonly Test[],
  supply: Partial<Supply>,
  joints: readonly PoorJoint[] = [],
  inTheVan: InTheVan = {},
): ReadingsFile {
  const full = { ...house, ...supply };
  const random = randomFrom(1);
  const metered = tests.flatMap((test, k) => ('from' in test ? [{ test, k }] : []));
  const decks = metered.flatMap(({ test, k }) => {
    const prefix = `t${k}_`;
    const [a, b] = [test.from, test.to].map((p) => (nodeOf(p) === 'earth' ? '0' : `${prefix}${nodeOf(p)}`));
    const meter =
      test.test === 'resistance'
        ? [`I${prefix}m ${b} ${a} dc 0 ac 1`, `R${prefix}m ${b} 0 1`]
        : [`R${prefix}m ${a} ${b} ${fieldMeter.inputOhms}`, `C${prefix}m ${a} ${b} 100p`];
    return [...deck(prefix, { supply: full, joints, inTheVan, test }), ...meter];
  });
  const nodes = metered.flatMap(({ test, k }) => [test.from, test.to].map((p) => `t${k}_${nodeOf(p)}`));
  const shown = runNgspice(
    decks,
    nodes.filter((n) => !n.endsWith('earth')).map((n) => `v(${n})`),
  );
  const at = (k: number, point: string) => shown.get(`v(t${k}_${nodeOf(point)})`) ?? { re: 0, im: 0 };
  const readings = tests.map((test, k): Reading => {
    if (!('from' in test)) return { ...test, answer: true } as Reading;
    const [a, b] = [at(k, test.from), at(k, test.to)];
    const value = Math.hypot(a.re - b.re, a.im - b.im);
    if (test.test !== 'resistance') return { ...test, volts: off(value, 'volts', random) };
    return { ...test, ohms: value > 40e6 ? null : off(value, 'ohms', random) };
  });
  return { format: 'inlet-readings/1', circuit, meter: fieldMeter, readings };
}

function off(value: number, kind: 'ohms' | 'volts', random: Random): number {
  const { percent, counts, resolution } = fieldMeter[kind];
  const error = (percent / 100) * value + counts * resolution;
  const shown = Math.max(0, value + 0.7 * error * (2 * random() - 1));
  return Number((Math.round(shown / resolution) * resolution).toFixed(1));
}

export { circuit as fieldCircuit };
