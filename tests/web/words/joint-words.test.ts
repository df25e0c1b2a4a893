import { expect, test } from 'vitest';
import { jointWords } from '../../../src/web/words/joint-words.js';

const joint = { at: 'outlet3', amps: 8, ohms: 0.009, uncertaintyOhm: 0.18 };

test('a drop that is as predicted names no joint of 0 Ω, but how large one could be unseen', () => {
  expect(jointWords({ ...joint, what: 'meter-too-coarse' })).toBe(
    'Outlet 3: no joint on the way shows, though one of up to about 0.19 Ω more than predicted would not show on this meter.',
  );
  expect(jointWords({ ...joint, ohms: 0.4, what: 'mend' })).toMatch(/about 0.4 Ω more .*: find the warm one/);
  expect(jointWords({ ...joint, what: 'none' })).toBeUndefined();
});
