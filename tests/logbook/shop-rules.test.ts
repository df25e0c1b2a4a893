import fc from 'fast-check';
import { expect, test } from 'vitest';
import { foldShop, type Shop, type ShopEntry } from '../../src/logbook/fold-shop.js';
import { type NewShopEntry, roles } from '../../src/logbook/shop-entry.js';
import { addInstrument, addPerson, changeInstrument, changePerson } from '../../src/logbook/shop-rules.js';

/** The shop once these were written, one a day from 2026-03-01 on. */
function shopOf(...entries: readonly NewShopEntry[]): Shop {
  return foldShop(
    entries.map((entry, k) => ({
      ...entry,
      seq: k + 1,
      at: `2026-03-${String(k + 1).padStart(2, '0')}T09:00:00.000Z`,
      by: { id: 'p-1', name: 'Ines Okafor' },
      previous: '',
      digest: '',
    })) as ShopEntry[],
  );
}
const person = (id: string, signIn: string, held: readonly string[]) => ({
  id,
  name: id,
  signIn,
  roles: held,
});
const meter = { kind: 'multimeter', name: 'Yellow meter', serial: 'YM-0417', calibrated: '2026-02-01' };
const issuesOf = (answer: ReturnType<typeof addPerson>) =>
  answer.ok ? [] : answer.issues.map(({ field }) => field);

test('whatever is changed of its people, a shop keeps one who is active and a keeper', () => {
  const someRoles = fc.uniqueArray(fc.constantFrom(...roles), { minLength: 1 });
  const change = fc.record({ who: fc.nat(2), roles: someRoles, active: fc.boolean() });
  fc.assert(
    fc.property(fc.array(change, { maxLength: 12 }), (changes) => {
      const names = ['ines', 'tam', 'jo'];
      const entries: NewShopEntry[] = [];
      const add = (more: ReturnType<typeof addPerson>) => {
        if (more.ok) entries.push(...more.value);
      };
      for (const name of names)
        add(
          addPerson(shopOf(...entries), name, person(name, name, name === 'ines' ? ['keeper'] : ['fitter'])),
        );
      for (const { who, ...now } of changes)
        add(changePerson(shopOf(...entries), names[who]!, { name: names[who], ...now }));
      const keepers = shopOf(...entries).people.filter((p) => p.active && p.roles.includes('keeper'));
      expect(keepers.length).toBeGreaterThan(0);
    }),
  );
});

test('a sign-in that is or was somebody’s is nobody else’s, however it is written', () => {
  const first = addPerson(shopOf(), 'a', person('a', 'Ines', ['keeper', 'fitter']));
  if (!first.ok) throw new Error('the first person was not taken');
  const shop = shopOf(...first.value, {
    kind: 'person changed',
    subject: 'a',
    body: { name: 'Ines', roles: ['fitter'], active: false },
  });
  for (const like of ['ines', 'INES', 'ｉｎｅｓ', 'ᴵnes'])
    expect(issuesOf(addPerson(shop, 'b', person('b', like, ['fitter']))), like).toEqual(['signIn']);
  expect(issuesOf(addPerson(shop, 'b', person('b', 'inez', ['fitter'])))).toEqual([]);
});

test('an instrument is one of its kind and serial number: none is added twice, and none becomes another', () => {
  const added = (id: string, more = {}) => {
    const answer = addInstrument(shopOf(), id, { ...meter, ...more });
    if (!answer.ok) throw new Error('not taken');
    return answer.value[0]!;
  };
  const shop = shopOf(added('m1'), added('m2', { serial: 'YM-0500', name: 'Other' }));
  expect(issuesOf(addInstrument(shop, 'm3', { ...meter, serial: 'ym-0417' }))).toEqual(['serial']);
  expect(issuesOf(changeInstrument(shop, 'm2', { ...meter, serial: 'ym-0417' }))).toEqual(['serial']);
  expect(issuesOf(changeInstrument(shop, 'm2', { ...meter, serial: 'YM-0501' }))).toEqual([]);
  expect(issuesOf(changeInstrument(shop, 'm1', { ...meter, calibrated: '2026-03-01' }))).toEqual([]);
  // Two of one that a shop has already can still be told apart, calibrated or taken off the shelf.
  const two = shopOf(added('m1'), added('m2'));
  expect(issuesOf(changeInstrument(two, 'm2', { ...meter, retired: true }))).toEqual([]);
});

test('what was found about an instrument stands until it is calibrated anew, on the day of the finding or later', () => {
  const found: NewShopEntry = {
    kind: 'instrument questioned',
    subject: 'm1',
    body: { from: '2026-02-20', reason: 'It fell.' },
  };
  const after = (before: string, now: string) => {
    const at = (calibrated: string) => ({ ...meter, calibrated }) as never;
    const shop = shopOf({ kind: 'instrument added', subject: 'm1', body: at(before) }, found, {
      kind: 'instrument changed',
      subject: 'm1',
      body: at(now),
    });
    return shop.instruments[0]?.questioned !== undefined;
  };
  // The finding is of 2026-03-02.
  expect(after('2026-02-01', '2026-02-01')).toBe(true);
  expect(after('2026-02-01', '2026-03-01')).toBe(true);
  expect(after('2026-03-02', '2026-03-02')).toBe(true);
  expect(after('2026-02-01', '2026-03-02')).toBe(false);
  expect(after('2026-03-02', '2026-03-03')).toBe(false);
});

test('a meter without any error is refused, when it is put on the shelf and when it is changed', () => {
  const exact = { ...meter, volts: { percent: 0, counts: 0, resolution: 0.1 } };
  expect(issuesOf(addInstrument(shopOf(), 'i-1', exact))).toEqual(['volts.percent']);
  const held = shopOf({ kind: 'instrument added', subject: 'i-1', body: meter } as NewShopEntry);
  expect(issuesOf(changeInstrument(held, 'i-1', { ...exact, active: true }))).toEqual(['volts.percent']);
  expect(addInstrument(shopOf(), 'i-1', { ...exact, volts: { ...exact.volts, counts: 3 } }).ok).toBe(true);
});
