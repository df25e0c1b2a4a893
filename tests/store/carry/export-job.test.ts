import { Buffer } from 'node:buffer';
import { expect, test } from 'vitest';
import type { NewEntry } from '../../../src/logbook/entry.js';
import { sha256Of } from '../../../src/logbook/sha256.js';
import type { Role, ShopBody } from '../../../src/logbook/shop-entry.js';
import { addPerson } from '../../../src/logbook/shop-rules.js';
import { exportJob, zippableJob } from '../../../src/store/carry/export-job.js';
import { unzipJob, zipJob } from '../../../src/store/carry/job-zip.js';
import type { Store } from '../../../src/store/open-store.js';
import { ines, noted, openedJob, sendForm, tempStore, writing } from '../temp-store.js';

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

// A job comes back from another folder, where its people had other roles: without them nobody could take it in again.
test('a person of this shop goes out with the roles of what they wrote elsewhere too, and with none that it did not ask for', () => {
  const store = tempStore();
  const job = openedJob(store);
  const person = { name: ines.name, signIn: 'ines', roles: ['keeper'] };
  store.shop.append({ by: ines, decide: (shop) => addPerson(shop, ines.id, person) });
  const conceded: NewEntry = { kind: 'concession granted', subject: 'bond', body: { reason: 'As it is.' } };
  sendForm(store, job, writing(conceded));
  expect(peopleOf(store, job)).toEqual([{ ...ines, roles: ['keeper'] }]);
  const signature = { name: ines.name, strokes: [] };
  const look: NewEntry = {
    kind: 'second look signed',
    subject: 'job',
    body: { statement: 'Seen.', signature },
  };
  sendForm(store, job, writing(look));
  expect(peopleOf(store, job)).toEqual([{ ...ines, roles: ['checker', 'keeper'] }]);
});

// Of a job that came from elsewhere this shop knows nobody: without the role, a third shop refuses the entry.
test('whoever is no person of this shop goes out with the role that their entry asks for', () => {
  const signature = { name: 'Noor Hale', strokes: [] };
  const instrument = { id: 'meter', name: 'Meter', serial: '1' };
  const theirs: readonly (readonly [Role, NewEntry])[] = [
    ['fitter', noted('a scratch')],
    ['checker', { kind: 'second look signed', subject: 'feed', body: { statement: 'Seen.', signature } }],
    ['checker', { kind: 'concession granted', subject: 'bond', body: { reason: 'As it is.' } }],
    [
      'keeper',
      {
        kind: 'instrument questioned',
        subject: 'job',
        body: { instrument, from: '2026-01-01', reason: 'Dropped.', entries: [1] },
      },
    ],
  ];
  const store = tempStore();
  const job = openedJob(store);
  const added = theirs.map(([role, entry], k) => {
    const person = { id: `theirs-${k}`, name: 'Noor Hale' };
    sendForm(store, job, writing(entry), { by: person });
    return { ...person, roles: [role] };
  });
  expect(peopleOf(store, job)).toEqual([{ ...ines, roles: ['fitter'] }, ...added]);
});

// A zip that holds it twice is refused where it is read.
test('a photo that two steps show goes out once, and is read again', () => {
  const jpeg = Buffer.from('a picture');
  const id = sha256Of(jpeg);
  const shown = (step: string): NewEntry => ({
    kind: 'photo added',
    subject: `step:${step}`,
    body: { photo: id, original: id, caption: '', widthPx: 8, heightPx: 8 },
  });
  const store = tempStore();
  const job = openedJob(store);
  const photo = { id, original: id, widthPx: 8, heightPx: 8, jpeg, thumb: jpeg };
  sendForm(store, job, writing(shown('label'), shown('bond')), { attach: { photos: [photo] } });
  expect(store.logbook.entries(job).filter(({ kind }) => kind === 'photo added')).toHaveLength(2);
  const read = unzipJob(Buffer.concat([...zipJob(zippableJob(store, job))]));
  expect(read.photos).toEqual({ [id]: jpeg.toString('base64') });
});
