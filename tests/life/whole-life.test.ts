import { cpSync } from 'node:fs';
import { expect, test } from 'vitest';
import { chainFault } from '../../src/logbook/chain.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { tempFolder } from '../store/temp-store.js';
import { makeLink, type PlayedShop, playedShop } from '../web/played-shop.js';
import { formOn, plain } from '../web/read-form.js';
import { Browser, passphrase, shopUnderTest, toMend } from '../web/shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

async function issued(shop: PlayedShop): Promise<string> {
  const page = `/jobs/${shop.number}/record`;
  const signed = { 'signature.name': 'Ines Okafor', 'signature.strokes': '', passphrase };
  const reply = await shop.fitter.postRaw(page, {
    ...formOn((await shop.fitter.get(page)).body, page),
    ...signed,
  });
  expect([reply.statusCode, toMend(reply.body)]).toEqual([303, []]);
  return page;
}

test('a job that is set aside, taken up and closed unfinished is read all the while, written only while it is open, and says why wherever it is shown', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const job = `/jobs/${shop.number}`;
  const reading = `${job}/readings/ground-path.bench`;
  const form = {
    ...formOn((await shop.fitter.get(reading)).body, reading),
    ohms: '0.05',
    note: 'by the door',
  };
  const pages = [
    '',
    '/sheet',
    '/steps/ground-path',
    '/readings',
    '/readings/ground-path.bench',
    '/defects',
    '/circuit',
    '/logbook',
    '/record',
    '/export',
  ];
  const put = async (act: string, reason: string) => {
    expect((await shop.fitter.post(`${job}/${act}`, { reason }, { page: job })).statusCode).toBe(303);
  };
  expect(toMend((await shop.fitter.post(`${job}/rest`, { reason: '' }, { page: job })).body)).toEqual([
    'Why: say why',
  ]);
  for (const [act, word, reason] of [
    ['rest', 'set aside', 'A part is late.'],
    ['closure', 'closed', 'The owner took the van away.'],
  ] as const) {
    await put(act, reason);
    for (const page of pages)
      expect([page, (await shop.fitter.get(`${job}${page}`)).statusCode]).toEqual([page, 200]);
    for (const html of [
      await shop.fitter.get(job),
      await shop.fitter.get(`${job}/record`),
      await shop.fitter.get('/'),
    ])
      expect(words(html.body)).toContain(reason);
    expect(words((await shop.fitter.get(job)).body)).toMatch(
      new RegExp(`${word} by Ines Okafor, .* UTC: ${reason}`, 'i'),
    );
    const length = shop.entries().length;
    const refused = await shop.fitter.postRaw(reading, form);
    expect([refused.statusCode, toMend(refused.body)]).toEqual([
      422,
      [`This job is ${word}: take it up again first.`],
    ]);
    expect(formOn(refused.body, reading).note).toBe('by the door');
    expect(shop.entries()).toHaveLength(length);
    await put('resumption', 'It goes on.');
  }
  expect(words((await shop.fitter.get(job)).body)).not.toContain('took the van away');
  const back = formOn((await shop.fitter.get(reading)).body, reading);
  expect((await shop.fitter.postRaw(reading, { ...back, ohms: '0.05' })).statusCode).toBe(303);
});

test('an owner who sells the van: the description gets the new owner, the record keeps the old name, the old link ends and the new one says whose it was', async () => {
  const shop = await playedShop();
  const record = await issued(shop);
  const old = await makeLink(shop.fitter, shop.number);
  const odile = new Browser(shop.app, '192.0.2.7');
  const signed = { revision: '1', 'signature.name': 'Odile Brandt', 'signature.strokes': '' };
  expect((await odile.post(`${old}/acknowledgement`, signed, { page: old })).statusCode).toBe(303);
  expect(words((await odile.get(old)).body)).not.toContain('another owner');

  const description = `/jobs/${shop.number}/description`;
  const form = { ...formOn((await shop.fitter.get(description)).body, description), owner: 'Lotte Vance' };
  expect((await shop.fitter.postRaw(description, form)).statusCode).toBe(303);
  const digest = shop.store.shop.state().links[0]?.tokenDigest ?? '';
  await shop.fitter.post(`/jobs/${shop.number}/link/withdrawal`, { link: digest }, { page: record });
  expect((await odile.get(old)).statusCode).toBe(404);

  const link = await makeLink(shop.fitter, shop.number);
  const lotte = new Browser(shop.app, '192.0.2.9');
  const page = words((await lotte.get(link)).body);
  expect(page).toContain(
    'when the van was Odile Brandt’s, and keeps that name. By the shop’s logbook it has another owner now.',
  );
  expect(page).toContain('Acknowledged by Odile Brandt');
  // Whoever held the link before may hold it still: nobody's name is handed on with it.
  expect(page).not.toContain('Lotte Vance');
  // A new owner puts nothing in question.
  expect(page).not.toContain('in question');
  const pdf = (await lotte.get(`${link}/record`)).rawPayload;
  const printed = runTool('pdftotext', ['-layout', filesIn({ pdf }).pdf, '-']).text;
  expect(printed).toContain('Odile Brandt');
  expect(printed).not.toContain('Lotte Vance');
  expect(words((await shop.fitter.get(`/jobs/${shop.number}/logbook`)).body)).toContain('Owner Lotte Vance');
});

test('a folder that is copied to another machine while stopped opens there, with its links and records, and goes on', async () => {
  const shop = await playedShop();
  const record = await issued(shop);
  const link = await makeLink(shop.fitter, shop.number);
  const pdf = (await shop.fitter.get(`${record}/1`)).rawPayload;
  const entries = shop.entries().map((e) => e.digest);
  const from = shop.store.dir;
  await shop.app.close();
  shop.store.close();
  const dir = tempFolder();
  cpSync(from, dir, { recursive: true });

  const moved = await shopUnderTest({ named: false, dir });
  moved.clock.move(shop.clock().getTime() - moved.clock().getTime() + 60_000);
  expect(moved.store.broken).toBeUndefined();
  const fitter = new Browser(moved.app, '198.51.100.4');
  await fitter.signIn('ines');
  expect((await fitter.get(`${record}/1`)).rawPayload.equals(pdf)).toBe(true);
  expect((await new Browser(moved.app, '198.51.100.9').get(link)).statusCode).toBe(200);
  const url = `/jobs/${shop.number}/readings/absence-of-voltage.inlet`;
  const taken = await fitter.postRaw(url, { ...formOn((await fitter.get(url)).body, url), volts: '0' });
  expect([taken.statusCode, toMend(taken.body)]).toEqual([303, []]);
  const log = moved.store.logbook.entries(shop.number);
  expect(log.slice(0, -1).map((e) => e.digest)).toEqual(entries);
  expect(chainFault(log)).toBeUndefined();
});

test('whoever comes back to a step or a reading that is gone is told who took it out and why, with what they typed', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const last = shop.job().circuit.run.at(-1)!.id;
  const url = `/jobs/${shop.number}/readings/ground-path.${last}`;
  const form = { ...formOn((await shop.fitter.get(url)).body, url), ohms: '0.05', note: 'by the rear door' };
  const circuit = `/jobs/${shop.number}/circuit`;
  const opened = formOn((await shop.fitter.get(circuit)).body, circuit);
  const out = shop.job().circuit.run.length - 1;
  const less = formOn(
    (await shop.fitter.postRaw(circuit, { ...opened, act: `remove-outlet:${out}` })).body,
    circuit,
  );
  const changed = await shop.fitter.postRaw(circuit, { ...less, act: 'save', reason: 'No room for it.' });
  expect([changed.statusCode, toMend(changed.body)]).toEqual([303, []]);
  const gone = await shop.fitter.postRaw(url, form);
  expect(gone.statusCode).toBe(404);
  expect(words(gone.body)).toMatch(
    /Ines Okafor changed the circuit on .*no longer calls for this reading.*Because: No room for it\./,
  );
  expect(words(gone.body)).toContain('by the rear door');
});
