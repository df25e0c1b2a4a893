import { expect, test } from 'vitest';
import { formOn } from '../read-form.js';
import { shopUnderTest, signedIn, toMend } from '../shop-under-test.js';

test('an instrument with figures or days that cannot be is refused, each by its field in words, and all that was typed stays', async () => {
  const shop = await shopUnderTest();
  const keeper = signedIn(shop, 'ines');
  const typed = {
    kind: 'multimeter',
    name: 'Yellow meter',
    serial: 'TL-0001',
    calibrated: '2026-02-31',
    'ohms.percent': '-0.9',
    'ohms.counts': '101',
    'ohms.resolution': '0',
    'ohms.overLimit': '1e9',
    'volts.percent': '1',
    'volts.counts': '3',
    'volts.resolution': '11',
    inputOhms: '0',
  };
  const refused = await keeper.post('/instruments', typed);
  expect(refused.statusCode).toBe(422);
  expect(toMend(refused.body).sort()).toEqual(
    [
      'Input: must be above 0',
      'Last calibrated: must be a day such as 2026-11-25',
      'OL above: must be a number such as 0.5',
      'Ohms, % of reading: must not be negative',
      'Ohms, counts: must be at most 100',
      'Ohms, last digit: must be above 0',
      'Volts, last digit: must be at most 10',
    ].sort(),
  );
  expect(formOn(refused.body, '/instruments')).toMatchObject(typed);
  expect(shop.store.shop.state().instruments).toEqual([]);
});

test('no calibration is written down before its day', async () => {
  const shop = await shopUnderTest();
  const keeper = signedIn(shop, 'ines');
  const calibrated = (day: string) =>
    keeper.post('/instruments', {
      kind: 'multimeter',
      name: 'Yellow meter',
      serial: 'TL-1',
      calibrated: day,
    });
  const [today, tomorrow] = [0, 1].map((days) =>
    new Date(shop.clock().getTime() + days * 86_400_000).toISOString().slice(0, 10),
  );
  expect(toMend((await calibrated(tomorrow as string)).body)).toEqual([
    'Last calibrated: is a day that has not come yet',
  ]);
  expect((await calibrated(today as string)).statusCode).toBe(303);
});
