import { expect, test } from 'vitest';
import { verifyRecord } from '../../../src/record/verify-pdf.js';
import { rulesVersion } from '../../../src/trade/rules-version.js';
import { sendForm, writing } from '../../store/temp-store.js';
import { demoCircuit, makeLink, playedShop, secondLook } from '../played-shop.js';
import { formOn } from '../read-form.js';
import { Browser, passphrase, signedIn, toMend } from '../shop-under-test.js';

const signature = { 'signature.name': 'Ines Okafor', 'signature.strokes': '' };

test('an owner sees what may run together, takes the record along and acknowledges it, without a session, and learns that it was withdrawn', async () => {
  const shop = await playedShop();
  const record = `/jobs/${shop.number}/record`;
  const issued = await shop.fitter.post(record, { ...signature, passphrase });
  expect(toMend(issued.body)).toEqual([]);
  expect(issued.statusCode).toBe(303);
  const path = await makeLink(shop.fitter, shop.number);
  expect((await shop.fitter.get(record)).body).not.toContain(path);

  const owner = new Browser(shop.app, '192.0.2.7');
  const page = await owner.get(path);
  expect(page.statusCode).toBe(200);
  expect(page.body).toContain('What may run together');
  expect(formOn(page.body, `${path}/acknowledgement`)['signature.name']).toBe('Odile Brandt');
  expect(page.body).toMatch(/First re-check[\s\S]{0,80}15 October, Ines Okafor, at the shop/);
  // The link is a secret: no other site is told of it, while a form of this page still names where it comes from.
  expect(page.headers['referrer-policy']).toBe('same-origin');
  const pdf = await owner.get(`${path}/record`);
  expect(pdf.headers['content-type']).toBe('application/pdf');
  expect(pdf.rawPayload.subarray(0, 5).toString()).toBe('%PDF-');
  const answer = await owner.post(
    `${path}/acknowledgement`,
    { revision: '1', 'signature.name': 'Odile Brandt', 'signature.strokes': '[[[10,10],[200,90]]]' },
    { page: path },
  );
  expect(answer.statusCode).toBe(303);
  expect((await owner.get(path)).body).toContain('Acknowledged by Odile Brandt');
  expect(shop.entries().at(-1)?.kind).toBe('owner acknowledged');

  await shop.fitter.post(
    `${record}/1/withdrawal`,
    { 'reason.1': 'A torque was read wrong.' },
    { page: record },
  );
  const after = await owner.get(path);
  expect(after.statusCode).toBe(200);
  expect(after.body).toContain('This record was withdrawn');
  expect(after.body).toContain('A torque was read wrong.');
  expect(after.body).not.toContain('/acknowledgement"');
  expect((await owner.get(`${path}/record`)).rawPayload.equals(pdf.rawPayload)).toBe(true);
});

test('an owner reads how the shop is reached today, and the record how it was when it was issued', async () => {
  const shop = await playedShop();
  const record = `/jobs/${shop.number}/record`;
  const reachedBy = (reach: string) =>
    shop.fitter.post('/shop', { name: 'Thimble Lane Vanworks', units: 'imperial', zone: 'UTC', reach });
  expect((await reachedBy('555-0142')).statusCode).toBe(303);
  expect((await shop.fitter.post(record, { ...signature, passphrase })).statusCode).toBe(303);
  const path = await makeLink(shop.fitter, shop.number);
  expect((await reachedBy('555-0177')).statusCode).toBe(303);
  const owner = new Browser(shop.app, '192.0.2.7');
  expect((await owner.get(path)).body).toContain('Questions to Thimble Lane Vanworks: 555-0177');
  const seen = await verifyRecord((await owner.get(`${path}/record`)).rawPayload);
  expect(seen).toMatchObject({
    state: 'intact',
    composedAgain: 'same',
    facts: { composed: { reach: '555-0142' } },
  });
});

test('an owner reads what was let stand, with its reason and who granted it', async () => {
  const shop = await playedShop();
  const [record, step] = [`/jobs/${shop.number}/record`, `/jobs/${shop.number}/steps/cord-and-spares`];
  const checker = signedIn(shop, 'tam');
  const reopened = await shop.fitter.post(
    `${step}/reopening`,
    { reason: 'No spare is left.' },
    { page: step },
  );
  expect(toMend(reopened.body)).toEqual([]);
  const granted = await checker.post(
    `${step}/concession`,
    { concession: 'A spare is on its way.' },
    { page: step },
  );
  expect(toMend(granted.body)).toEqual([]);
  const looked = await secondLook(checker, shop.number);
  expect(toMend(looked.body)).toEqual([]);
  const issued = await shop.fitter.post(record, { ...signature, passphrase });
  expect(toMend(issued.body)).toEqual([]);
  const path = await makeLink(shop.fitter, shop.number);
  const page = (await new Browser(shop.app, '192.0.2.7').get(path)).body;
  expect(page).toMatch(/What was let stand[\s\S]*“A spare is on its way\.” Granted by Tam Whitlock/);
});

test('an owner reads the van as its record has it, whatever is planned since, and whose it was then', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  expect((await shop.fitter.post(page, { ...signature, passphrase })).statusCode).toBe(303);
  const path = await makeLink(shop.fitter, shop.number);
  const owner = new Browser(shop.app, '192.0.2.7');
  const before = (await owner.get(path)).body;
  expect(before).toContain(`${demoCircuit.run[0]!.place}: `);
  expect(before).not.toMatch(/What revision|was issued when the van was/);

  const by = { id: 'ines', name: 'Ines Okafor' };
  const run = demoCircuit.run.map((o, k) => (k === 0 ? { ...o, place: 'under the new bed' } : o));
  const body = { circuit: { ...demoCircuit, run }, rules: rulesVersion, reason: 'Another plan.' };
  sendForm(shop.store, shop.number, writing({ kind: 'circuit set', subject: 'circuit', body }), { by });
  const described = { ...shop.store.logbook.log(shop.number).described!, owner: 'Lotte Vance' };
  sendForm(shop.store, shop.number, writing({ kind: 'job described', subject: 'job', body: described }), {
    by,
  });
  const after = (await owner.get(path)).body;
  const has = /What the van has[\s\S]*?<\/section>/.exec(after)?.[0];
  expect(has).toContain(`${demoCircuit.run[0]!.place}: `);
  expect(has).not.toContain('under the new bed');
  expect(after).toMatch(/This record is in question[\s\S]*under the new bed/);
  expect(after).toContain('was issued when the van was Odile Brandt’s');
});

test('whoever was given the link is offered as its signer, not the owner that the job has', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  await shop.fitter.post(page, { ...signature, passphrase });
  await shop.fitter.post(
    `/jobs/${shop.number}/link`,
    { heldBy: 'Bo Lindqvist', until: '2027-02-23' },
    { page },
  );
  const path = /(\/o\/[\w-]{32})</.exec((await shop.fitter.get(page)).body)?.[1] as string;
  const owner = new Browser(shop.app, '192.0.2.7');
  const form = formOn((await owner.get(path)).body, `${path}/acknowledgement`);
  expect(form['signature.name']).toBe('Bo Lindqvist');
});
