import { expect, test } from 'vitest';
import { type CautionId, cautions, standingCautions } from '../../src/trade/cautions.js';
import { conditionsShowing, lampPatterns } from '../../src/trade/lamp-patterns.js';
import { meterMistake, meterMistakes } from '../../src/trade/meter-mistakes.js';
import { ownerSentences } from '../../src/trade/owner-sentences.js';

test('the standing cautions say what kills, what comes first and what the device does not do', () => {
  const said = standingCautions.map((id) => cautions[id].text).join(' ');
  expect(said).toMatch(/kills/);
  expect(said).toMatch(/prove it dead/);
  expect(said).toMatch(/authority having jurisdiction/);
  expect(said).toMatch(/licensed electrician/);
  expect(said).toMatch(/between hot and neutral.*from the supply.*neutral ahead of it is lost/);
});

test('no caution calls anything safe, legal, approved or compliant', () => {
  const texts = (Object.keys(cautions) as CautionId[]).map((id) => cautions[id].text);
  expect(texts.filter((t) => /\b(safe|legal|approved|compliant)\b/i.test(t))).toEqual([]);
});

test('each mistake with the meter is found by its id', () => {
  expect(new Set(meterMistakes.rows.map((row) => row.id)).size).toBe(meterMistakes.rows.length);
  expect(meterMistake('fingers').text).toContain('1 MΩ');
});

test('lamps that look right cannot part a sound outlet from a live skin', () => {
  const shown = conditionsShowing({ hotNeutral: true, hotGround: true, neutralGround: false });
  expect(shown.map((row) => row.id)).toEqual([
    'sound',
    'neutral-ground-swapped',
    'bootleg',
    'bootleg-reversed',
  ]);
});

test('an open ground hides exchanged hot and neutral behind it', () => {
  const shown = conditionsShowing({ hotNeutral: true, hotGround: false, neutralGround: false });
  expect(shown.map((row) => row.id)).toEqual(['ground-open', 'swapped-ground-open']);
});

// Circuit logic of an ideal supply: a lamp is lit where its two slots are tied to unlike sides, or pulled there by a load.
test('every pattern without loads follows from what its slots are tied to', () => {
  const ties: Record<string, readonly [string, string, string]> = {
    sound: ['H', 'N', 'N'],
    'ground-open': ['H', 'N', '-'],
    'neutral-open': ['H', '-', 'N'],
    'hot-open': ['-', 'N', 'N'],
    'hot-neutral-swapped': ['N', 'H', 'N'],
    'hot-ground-swapped': ['N', 'N', 'H'],
    'swapped-ground-open': ['N', 'H', '-'],
    'neutral-ground-swapped': ['H', 'N', 'N'],
    bootleg: ['H', 'N', 'N'],
    'bootleg-reversed': ['N', 'H', 'H'],
    'neutral-open-loaded': ['H', 'H', 'N'],
    'ground-open-loaded': ['H', 'N', 'H'],
  };
  const lit = (a: string, b: string) => a !== '-' && b !== '-' && a !== b;
  for (const row of lampPatterns.rows) {
    const [hot, neutral, ground] = ties[row.id]!;
    expect([lit(hot, neutral), lit(hot, ground), lit(neutral, ground)], row.id).toEqual([
      row.hotNeutral,
      row.hotGround,
      row.neutralGround,
    ]);
  }
});

test('the owner is told what starts fires and spoils blades', () => {
  const facts = {
    mayRunTogether: [],
    mayNotRunTogether: [],
    cord: 'a cord',
    breakerAmps: 15,
    devicePlace: 'the bench',
  };
  const said = ownerSentences(facts);
  expect(said).toHaveLength(10);
  expect(said.join(' ')).toMatch(/with heat goes straight into an outlet, on no strip/);
  expect(said.join(' ')).toMatch(/Lay the cord up dry .* blades are replaced, not sanded/);
});
