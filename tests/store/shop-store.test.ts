import { expect, test } from 'vitest';
import { ines, tempStore } from './temp-store.js';

test('what is asked of the shop while something is written is not remembered when that is taken back', () => {
  const { shop } = tempStore();
  const before = shop.state().name;
  const naming = (name: string, also: () => void) =>
    shop.append({
      by: ines,
      decide: () => ({
        ok: true,
        value: [
          {
            kind: 'shop named',
            subject: 'shop',
            body: { name, place: 'Quay Street', reach: '', units: 'metric' },
          },
        ],
      }),
      also,
    });
  let meanwhile: string | undefined;
  expect(() =>
    naming('Van Shed', () => {
      meanwhile = shop.state().name;
      throw new Error('no room for what belongs to it');
    }),
  ).toThrow(/no room/);
  expect(meanwhile).toBe('Van Shed');
  expect(shop.state().name).toBe(before);
  naming('Van Shed', () => {});
  expect(shop.state().name).toBe('Van Shed');
});
