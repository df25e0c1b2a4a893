import { expect, test } from 'vitest';
import type { Role } from '../../../src/logbook/shop-entry.js';
import { makeShopKeys } from '../../../src/record/keys.js';
import { verifyRecord } from '../../../src/record/verify-pdf.js';
import { exportJob } from '../../../src/store/carry/export-job.js';
import { importJob } from '../../../src/store/carry/import-job.js';
import { readJobFile } from '../../../src/store/carry/job-file.js';
import { keepKeys } from '../../../src/store/keep-keys.js';
import { made } from '../../store/temp-store.js';
import { makeLink, playedShop } from '../played-shop.js';
import { plain } from '../read-form.js';
import { addPerson, Browser, passphrase, shopUnderTest, signedIn } from '../shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');
const signedBy = (name: string) => ({ 'signature.name': name, 'signature.strokes': '', passphrase });
const all: Role[] = ['fitter', 'checker', 'keeper'];

/** Another shop, of Noor alone, with a key of its own. */
async function anotherShop() {
  const shop = await shopUnderTest({ named: false });
  const noor = { id: 'noor', name: 'Noor Hale' };
  addPerson(shop, noor.id, noor.name, all);
  const body = { name: 'Second Bench Vans', place: '', reach: '', units: 'metric' } as const;
  shop.store.shop.append({
    by: noor,
    decide: () => ({ ok: true, value: [{ kind: 'shop named', subject: '', body }] }),
  });
  const secret = shop.store.secret.keyPassphrase;
  const keys = makeShopKeys({ shopName: body.name, now: shop.clock(), secret });
  made(keepKeys(shop.store, { by: noor, keys, reason: 'first start' }));
  return shop;
}

test('a record of another shop is nowhere taken for this one’s, and a further revision says what was written there', async () => {
  const there = await playedShop();
  const page = `/jobs/${there.number}/record`;
  expect((await there.fitter.post(page, signedBy('Ines Okafor'))).statusCode).toBe(303);
  expect((await there.fitter.get(page)).body).not.toContain('With the key of another shop');
  const here = await anotherShop();
  await importJob(here.store, readJobFile(exportJob(there.store, there.number)));
  const noor = signedIn(here, 'noor');
  expect((await noor.get(page)).body).toContain('With the key of another shop:');
  const link = await makeLink(noor, there.number);
  const owner = new Browser(here.app, '192.0.2.7');
  expect(words((await owner.get(link)).body)).toContain(
    'by the logbook that Second Bench Vans took over. Its record was issued and signed by another shop',
  );

  const further = { ...signedBy('Noor Hale'), changed: 'The shop has another owner.' };
  const written = there.entries().length;
  expect((await noor.post(page, further)).statusCode).toBe(303);
  const entry = here.store.logbook.entries(there.number).at(-1);
  if (entry?.kind !== 'record issued') throw new Error('no record was issued');
  const pdf = here.store.records.bySha256(entry.body.sha256)?.pdf as Buffer;
  const found = await verifyRecord(pdf, { fingerprint: entry.body.fingerprint });
  expect(found).toMatchObject({
    state: 'intact',
    reasons: expect.arrayContaining(['Composed again from the logbook attached to it, it reads the same.']),
    facts: { composed: { elsewhere: { entries: written, names: ['Ines Okafor', 'Tam Whitlock'] } } },
  });
  expect(words((await owner.get(link)).body)).toContain('as Second Bench Vans handed it over.');
});
