import { expect, test } from 'vitest';
import { grouped } from '../../src/record/grouped.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { playedShop } from '../web/played-shop.js';
import { formOn, plain } from '../web/read-form.js';
import { Browser, passphrase, toMend } from '../web/shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

test('a shop with a new signing key: what the old one signed still holds, and the next record, the shop’s page and the page that checks records say which key came when', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  const issue = async (changed: string) => {
    const signed = { 'signature.name': 'Ines Okafor', 'signature.strokes': '', passphrase, changed };
    const reply = await shop.fitter.postRaw(page, {
      ...formOn((await shop.fitter.get(page)).body, page),
      ...signed,
    });
    expect([reply.statusCode, toMend(reply.body)]).toEqual([303, []]);
    return (await shop.fitter.get(`${page}/${shop.job().log.issued.length}`)).rawPayload;
  };
  const textOf = (pdf: Buffer) =>
    runTool('pdftotext', ['-layout', filesIn({ pdf }).pdf, '-']).text.replace(/\s+/g, ' ');
  const first = await issue('');
  shop.clock.move(86_400_000);
  await shop.fitter.signIn('ines');
  const made = await shop.fitter.post(
    '/shop/key',
    { reason: 'The disk was lost.', passphrase },
    { page: '/shop' },
  );
  expect(made.statusCode).toBe(303);
  shop.clock.move(60_000);
  const second = await issue('Signed with the new key.');
  const [old, now] = shop.store.shop.state().keys.map((k) => k.fingerprint) as [string, string];

  // The stranger who holds the old fingerprint alone is told what the record says, and that it is no proof.
  const asked = await verifyRecord(second, { fingerprint: old });
  expect([asked.state, asked.reasons.join(' ')]).toEqual([
    'another-signer',
    expect.stringMatching(
      /signed with the key asked for until .*and with this one since\. Anybody could write that, so it proves nothing/,
    ),
  ]);
  expect((await verifyRecord(second, { fingerprint: 'ab'.repeat(32) })).reasons.join()).not.toContain(
    'Anybody',
  );
  expect((await verifyRecord(first, { fingerprint: old })).state).toBe('intact');
  const again = await verifyRecord(second, { fingerprint: now });
  expect(again).toMatchObject({ state: 'intact', composedAgain: 'same' });
  const printed = textOf(second);
  for (const line of ['The shop’s earlier keys', grouped(old), grouped(now), 'no proof'])
    expect(printed).toContain(line);

  const stranger = new Browser(shop.app, '192.0.2.8');
  const check = async (bytes: Buffer) =>
    words((await stranger.postFiles('/verify', {}, [{ field: 'record', name: 'r.pdf', bytes }])).body);
  expect(await check(first)).toMatch(
    /Signer this shop, Thimble Lane Vanworks, by a key that it signed with until \d+ \w+ 20\d\d/,
  );
  for (const html of [await stranger.get('/verify'), await shop.fitter.get('/shop')]) {
    expect(words(html.body)).toMatch(/Signed records from \d+ \w+ 20\d\d until \d+ \w+ 20\d\d/);
    for (const fingerprint of [old, now]) expect(words(html.body)).toContain(grouped(fingerprint));
  }
}, 120_000);
