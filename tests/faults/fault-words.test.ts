import { expect, test } from 'vitest';
import { catalogue } from '../../src/faults/catalogue.js';
import { couldKill, faultText, lookAt } from '../../src/faults/fault-words.js';
import { conductors } from '../../src/meter/electrical-circuit.js';
import type { Fault } from '../../src/meter/fault.js';
import { van } from '../meter/vans.js';

/** Device, receptacle, device, receptacle. */
const circuit = {
  ...van(4),
  run: van(4).run.map((o, k) => ({ ...o, device: k % 2 === 0 ? 'gfci-receptacle' : 'receptacle' }) as const),
};
const every = catalogue(circuit).map(({ fault }) => fault);

const said = (text: string, ...words: readonly string[]) => words.filter((w) => text.includes(w));
const conductorsOf = (f: Fault) =>
  conductors.filter((c) =>
    'conductors' in f ? f.conductors.includes(c) : 'conductor' in f && f.conductor === c,
  );
/** What every receptacle’s screws are told apart by. */
const colours = { hot: 'brass', neutral: 'silver', ground: 'green' };

test('a fault is said with its own conductors, and sends to the screws of those and no others', () => {
  for (const fault of every) {
    const mine = conductorsOf(fault);
    if (mine.length === 0) continue;
    const text = faultText(fault, circuit).replace(' (the ground-fault device)', '').toLowerCase();
    expect({ fault, said: said(text, ...conductors) }).toEqual({ fault, said: mine });
    if (fault.fault === 'joined' || !/^(?:feed|outlet)/.test(fault.where)) continue;
    const screws = said(lookAt(fault, circuit), ...Object.values(colours));
    expect({ fault, screws }).toEqual({ fault, screws: mine.map((c) => colours[c]) });
  }
});

test('a length is said by its two ends, and looked for at both', () => {
  for (const fault of every.filter(({ where }) => where.startsWith('feed'))) {
    const k = Number(fault.where.slice(4));
    const from = k === 1 ? 'the inlet' : `outlet ${k - 1}`;
    expect(faultText(fault, circuit)).toContain(`between ${from} and outlet ${k}`);
    if (fault.fault === 'swapped') continue;
    const look = lookAt(fault, circuit);
    expect({ fault, ends: look.match(/outlet \d/g) }).toEqual({
      fault,
      ends: k === 1 ? ['outlet 1'] : [`outlet ${k - 1}`, `outlet ${k}`],
    });
    expect(look.indexOf(k === 1 ? 'inlet' : `outlet ${k - 1}`)).toBeLessThan(look.indexOf(`outlet ${k}`));
  }
});

test.each([
  ['hot', 'feed1', 'the inlet’s hot terminal, the van’s breaker, then at the LINE brass screw of outlet 1'],
  ['neutral', 'feed1', 'the inlet’s neutral terminal, then at the LINE silver screw of outlet 1'],
  ['ground', 'feed1', 'the inlet’s ground terminal, then at the green screw of outlet 1'],
  [
    'hot',
    'feed2',
    'the LOAD brass screw that it leaves from at outlet 1, then at the brass screw of outlet 2',
  ],
  [
    'neutral',
    'feed3',
    'the silver screw that it leaves from at outlet 2, then at the LINE silver screw of outlet 3',
  ],
  ['ground', 'feed4', 'the ground splice in the box of outlet 3, then at the green screw of outlet 4'],
] as const)('an open %s of %s sends from terminal to terminal', (conductor, where, words) => {
  expect(lookAt({ fault: 'open', conductor, where }, circuit)).toContain(`Look at ${words}:`);
});

test('a device is told which of its sides each cable belongs on', () => {
  expect(lookAt({ fault: 'line-load-reversed', where: 'outlet1' }, circuit)).toContain(
    'the feed belongs on LINE, the run on LOAD',
  );
  const past: Fault = { fault: 'fed-from-line', where: 'outlet1' };
  expect(faultText(past, circuit)).toMatch(/^The run behind outlet 1 is joined to its LINE side/);
  expect(lookAt(past, circuit)).toMatch(/LINE screws of outlet 1: .* belong on LOAD\.$/);
});

test.each([
  [['neutral', 'ground'], /bare ground on a silver screw/],
  [['hot', 'neutral'], /something still plugged in/],
  [['hot', 'ground'], /bare ground against a brass screw/],
] as const)('a join of %s is looked for where such are made', (pair, words) => {
  expect(lookAt({ fault: 'joined', conductors: [...pair], where: 'outlet2' }, circuit)).toMatch(words);
});

// What a person holds is the ground and all that is bonded to it: live by what meets the hot, unguarded where it is open.
test('could kill: whatever joins or exchanges hot and ground, or takes the ground, the bond or the device away', () => {
  for (const fault of every) {
    const mine = conductorsOf(fault);
    const gone =
      ['open', 'face-open'].includes(fault.fault) && (mine.length === 0 || mine.includes('ground'));
    const live = mine.includes('hot') && mine.includes('ground');
    const past = fault.fault === 'bootleg-reversed' || fault.fault === 'fed-from-line';
    expect({ fault, kills: couldKill(fault) }).toEqual({ fault, kills: gone || live || past });
  }
});
