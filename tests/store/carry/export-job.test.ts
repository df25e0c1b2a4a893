import { expect, test } from 'vitest';
import type { Role, ShopBody } from '../../../src/logbook/shop-entry.js';
import { addPerson } from '../../../src/logbook/shop-rules.js';
import { exportJob } from '../../../src/store/carry/export-job.js';
import type { Store } from '../../../src/store/open-store.js';
import { ines, openedJob, sendForm, tempStore, writing } from '../temp-store.js';

const peopleOf = (store: Store, job: string) => JSON.parse(exportJob(store, job)).people;

test('a job goes out with every role that its people held, since an entry stands by the one of its day', () => {
  const store = tempStore();
  const job = openedJob(store);
  store.shop.append({
    by: ines,
    decide: (shop) => addPerson(shop, ines.id, { name: ines.name, signIn: 'ines', roles: ['keeper'] }),
  });
  const roles: Role[] = ['checker'];
  const body: ShopBody<'person changed'> = { name: ines.name, roles, active: true };
  store.shop.append({
    by: ines,
    decide: () => ({ ok: true, value: [{ kind: 'person changed', subject: ines.id, body }] }),
  });
  expect(peopleOf(store, job)).toEqual([{ ...ines, roles: ['checker', 'keeper'] }]);
});

test('an owner who acknowledged a record is given no role of a shop by it', () => {
  const store = tempStore();
  const job = openedJob(store);
  const owner = { id: 'owner', name: 'Odile Brandt' };
  const body = { revision: 1, signature: { name: owner.name, strokes: [] } };
  sendForm(store, job, writing({ kind: 'owner acknowledged', subject: 'job', body }), { by: owner });
  expect(peopleOf(store, job)).toEqual([
    { ...ines, roles: ['fitter'] },
    { ...owner, roles: [] },
  ]);
});
