import { describe, expect, it } from 'vitest';
import { catalogue } from '../../src/faults/catalogue.js';
import { Bench } from '../../src/meter/bench.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { handheld, van } from './vans.js';

describe('readings of floating conductors', () => {
  const tests = fullSchedule(van(3));
  const bench = new Bench(van(3), handheld, tests);
  const at = (from: string, to: string) =>
    tests.findIndex((t) => t.test === 'voltage' && t.from === from && t.to === to);

  it('are alike where they touch the same two conductors, and nowhere else', () => {
    const { alike } = bench.shows([{ fault: 'open', conductor: 'ground', where: 'supply' }]);
    const first = at('outlet1.hot', 'outlet1.ground');
    expect(alike[at('outlet2.hot', 'outlet2.ground')]).toBe(first);
    expect(alike[at('outlet3.hot', 'outlet3.ground')]).toBe(first);
    expect(alike[at('outlet1.neutral', 'outlet1.ground')]).not.toBe(first);
    const neutral = at('outlet2.hot', 'outlet2.neutral');
    expect(alike[neutral]).toBe(neutral);
    // The rod in the ground is reached by a lead of its own.
    const skin = at('chassis', 'earth');
    expect(alike[skin]).toBe(skin);
  });

  it('are alike with the probes exchanged', () => {
    const read = (from: string, to: string) => ({ test: 'voltage', from, to }) as const;
    const tests = [read('outlet1.hot', 'outlet1.ground'), read('outlet2.ground', 'outlet2.hot')];
    const { alike } = new Bench(van(3), handheld, tests).shows([
      { fault: 'open', conductor: 'ground', where: 'supply' },
    ]);
    expect([...alike]).toEqual([0, 0]);
  });

  it('are parted by a break between them', () => {
    const { alike } = bench.shows([{ fault: 'open', conductor: 'ground', where: 'feed2' }]);
    const behind = at('outlet2.hot', 'outlet2.ground');
    expect([behind, at('outlet3.hot', 'outlet3.ground')].map((i) => alike[i])).toEqual([behind, behind]);
    const before = at('outlet1.hot', 'outlet1.ground');
    expect(alike[before]).toBe(before);
  });

  it('are the only ones that are alike, however breaker and devices stand', () => {
    for (const { fault } of catalogue(van(3))) {
      const { others, ...own } = bench.shows(['ohms' in fault ? { ...fault, ohms: 2 } : fault]);
      for (const { values, alike } of [own, ...others])
        alike.forEach((first, i) => {
          if (first !== i)
            expect([fault, i, values[i], values[first]]).toEqual([fault, i, Number.NaN, Number.NaN]);
        });
    }
  });
});
