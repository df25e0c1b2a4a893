import { expect, test } from 'vitest';
import { playedShop } from '../played-shop.js';
import { formOn } from '../read-form.js';
import { toMend } from '../shop-under-test.js';

test('a defect by hand stands nowhere until somebody says where, and what was typed of it stays', async () => {
  const shop = await playedShop((job) => job.log.steps.size > 0);
  const path = `/jobs/${shop.number}/defects`;
  const form = formOn((await shop.fitter.get(path)).body, path);
  expect(form).toMatchObject({ about: '' });
  const refused = await shop.fitter.postRaw(path, { ...form, what: 'The flange is cracked.' });
  expect(refused.statusCode).toBe(422);
  expect(toMend(refused.body)).toEqual(['Where: choose where it is']);
  expect(refused.body).toContain('The flange is cracked.');
  expect(toMend((await shop.fitter.postRaw(path, form)).body)).toHaveLength(2);
  expect(shop.job().defects).toEqual([]);
});
