import { expect, test } from 'vitest';
import { vanName } from '../../../src/logbook/van-name.js';
import { playedShop } from '../played-shop.js';

test('every page of a job names it and its van on paper, and the way back to it on the screen', async () => {
  const { fitter, number } = await playedShop((job) => job.defects.length > 0);
  const job = `/jobs/${number}`;
  for (const page of [
    'circuit',
    'sheet',
    'steps/ground-path',
    'readings',
    'readings/ground-path.bench',
    'logbook',
  ]) {
    const { body } = await fitter.get(`${job}/${page}`);
    expect([page, /<p class="on-paper">([^<]*)</.exec(body)?.[1]]).toEqual([
      page,
      expect.stringMatching(new RegExp(`^Job ${number} · Marginalia, a travelling .* · Odile Brandt$`)),
    ]);
  }
  const { body } = await fitter.get(`${job}/sheet`);
  expect(body).toContain(
    `<a href="${job}"><span aria-hidden="true">‹</span>&nbsp;Job ${number}, Marginalia</a>`,
  );
  expect((await fitter.get(job)).body).not.toContain('on-paper">Job');
  expect((await fitter.get('/instruments')).body).not.toContain('on-paper');
});

test.each([
  ['Marginalia, a travelling book-repair workshop', 'Marginalia'],
  [
    'A long-wheelbase high-roof panel van that carries a potter’s wheel',
    'A long-wheelbase high-roof panel van…',
  ],
  ['x'.repeat(60), `${'x'.repeat(39)}…`],
  ['', ''],
])('the van of “%s” is called %s', (description, name) => {
  expect(vanName(description)).toBe(name);
});
