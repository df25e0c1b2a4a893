import { expect, test } from 'vitest';
import type { Entry, NewEntry } from '../../../src/logbook/entry.js';
import type { Person } from '../../../src/logbook/fold-shop.js';
import type { Role } from '../../../src/logbook/shop-entry.js';
import { unzipJob } from '../../../src/store/carry/job-zip.js';
import { makeIssuer } from '../../../src/store/issue-apart.js';
import type { IssueWish } from '../../../src/store/issue-job.js';
import { playedRecord, playedSigner } from '../../record/played-record.js';
import { makeLink, playedShop } from '../played-shop.js';
import { formOn, plain } from '../read-form.js';
import { Browser, passphrase, signedIn, tokensOf } from '../shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');
const signed = { 'signature.name': 'Ines Okafor', 'signature.strokes': '[[[20,100],[300,60]]]', passphrase };

test('a record is issued once however often its form is sent, superseded by the next, withdrawn with a reason, and told apart by whoever checks it', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  const form = { ...formOn((await shop.fitter.get(page)).body, page), ...signed };
  expect((await shop.fitter.postRaw(page, form)).statusCode).toBe(303);
  expect((await shop.fitter.postRaw(page, form)).statusCode).toBe(303);
  expect(shop.job().log.issued).toHaveLength(1);
  for (const url of [`/jobs/${shop.number}`, '/']) {
    const after = words((await shop.fitter.get(url)).body);
    expect(after).toContain('Hand over revision 1');
    expect(after).not.toMatch(/Next:? (\w+ )?Issue the record/);
  }
  const first = (await shop.fitter.get(`${page}/1`)).rawPayload;

  const stranger = new Browser(shop.app, '192.0.2.5');
  const check = async (bytes: Buffer) =>
    words((await stranger.postFiles('/verify', {}, [{ field: 'record', name: 'r.pdf', bytes }])).body);
  expect(await check(first)).toMatch(
    / intact Every byte is as it was when .* It is the newest revision and still stands/,
  );
  const changed = Buffer.from(first);
  changed[20_000] = changed[20_000]! ^ 1;
  expect(await check(changed)).toContain('not intact');
  expect(await check(Buffer.from('%PDF-1.7 nothing'))).toContain('not a record');
  const another = await playedRecord(playedSigner());
  expect(await check(another)).toMatch(/intact, but by a signer who is not known here/);

  const unreasoned = { ...formOn((await shop.fitter.get(page)).body, page), ...signed };
  expect(words((await shop.fitter.postRaw(page, unreasoned)).body)).toContain(
    'Why there is a further revision: say why there is a further revision',
  );
  const second = {
    ...formOn((await shop.fitter.get(page)).body, page),
    ...signed,
    changed: 'Printed once more.',
  };
  expect((await shop.fitter.postRaw(page, second)).statusCode).toBe(303);
  expect(await check(first)).toMatch(
    /intact, but a later revision takes its place.*Revision 2 came after it/,
  );
  const last = (await shop.fitter.get(`${page}/2`)).rawPayload;
  await shop.fitter.post(`${page}/2/withdrawal`, { 'reason.2': 'The wrong van in the photo.' }, { page });
  expect(await check(last)).toMatch(/intact, but withdrawn.*The wrong van in the photo\./);
  // What the second took the place of is no newest one again: whoever holds it is told, and the next thing is a third.
  expect(await check(first)).toMatch(
    /intact, but a later revision took its place and was withdrawn.*Revision 2 took its place.*; ask the shop\. Why: The wrong van in the photo\./,
  );
  expect(await check(first)).toMatch(
    /Every byte is as it was when .* issued it on 25 Nov 2026, \d\d:\d\d UTC/,
  );
  const job = words((await shop.fitter.get(`/jobs/${shop.number}`)).body);
  expect(job).toMatch(/in question.*Revision 2 was withdrawn: The wrong van in the photo\./);
  expect(job).toContain('Issue revision 3');
  const link = await makeLink(shop.fitter, shop.number);
  expect(words((await stranger.get(link)).body)).toMatch(
    /This record is in question.*Revision 2 was withdrawn: The wrong van in the photo\./,
  );
});

test('two taps at once give one record, and what is written while its pages are drawn is shown before it can be issued', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  const { issuer } = shop.app.services;
  const afterDrawing = (work: () => void) =>
    Object.assign(shop.app.services, {
      issuer: {
        async issue(wish: IssueWish) {
          const issued = await issuer.issue(wish);
          work();
          return issued;
        },
      },
    });
  const look = shop.entries().findLast((e) => e.kind === 'second look signed') as Entry;
  afterDrawing(() =>
    shop.store.logbook.append({
      job: shop.number,
      key: 'looked-at-again',
      by: look.by,
      content: '',
      decide: () => ({ ok: true, value: [look as NewEntry] }),
    }),
  );
  const form = { ...formOn((await shop.fitter.get(page)).body, page), ...signed };
  const refused = await shop.fitter.postRaw(page, form);
  expect(refused.statusCode).toBe(409);
  expect(words(refused.body)).toMatch(/Written meanwhile.*Tam Whitlock.*second look signed/);
  expect(refused.body).toContain(signed['signature.strokes']);
  expect(shop.job().log.issued).toHaveLength(0);

  afterDrawing(() => undefined);
  const again = { ...formOn(refused.body, page), passphrase };
  const other = signedIn(shop, 'ines');
  const taps = await Promise.all([
    shop.fitter.postRaw(page, again),
    other.postRaw(page, { ...again, _csrf: tokensOf((await other.get(page)).body)._csrf }),
  ]);
  expect(taps.map((tap) => tap.statusCode)).toEqual([303, 303]);
  expect(shop.job().log.issued.map((e) => e.body.head)).toEqual([shop.entries().at(-2)?.digest]);
  for (const browser of [shop.fitter, other])
    expect(words((await browser.get(page)).body)).toContain('Revision 1 is issued');
});

test('a record is issued by nobody whose session was ended, or who lost the role for it, while its pages were drawn', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  const { issuer } = shop.app.services;
  const form = { ...formOn((await shop.fitter.get(page)).body, page), ...signed };
  const { id, name } = shop.store.shop.state().people.find((p) => p.signIn === 'ines') as Person;
  const roles: Role[] = ['checker'];
  const meanwhile = [
    () => shop.store.sessions.endAll(id),
    () =>
      shop.store.shop.append({
        by: { id, name },
        decide: () => ({
          ok: true,
          value: [{ kind: 'person changed', subject: id, body: { name, roles, active: true } }],
        }),
      }),
  ];
  const answers: number[] = [];
  for (const happens of meanwhile) {
    const issue = async (wish: IssueWish) => {
      const issued = await issuer.issue(wish);
      happens();
      return issued;
    };
    Object.assign(shop.app.services, { issuer: { issue } });
    const browser = answers.length === 0 ? shop.fitter : signedIn(shop, id);
    const { _csrf } = tokensOf((await browser.get(page)).body);
    answers.push((await browser.postRaw(page, { ...form, _csrf })).statusCode);
  }
  expect(answers).toEqual([401, 422]);
  expect(shop.job().log.issued).toHaveLength(0);
});

test('a record that is given no time to be drawn is refused on its page with the signature kept, and issued when it is sent again', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  const { services } = shop.app;
  const { issuer, signer } = services;
  const limits = { milliseconds: 1, mebibytes: 256 };
  Object.assign(services, { issuer: makeIssuer({ dir: shop.store.dir, signer }, limits) });
  const form = { ...formOn((await shop.fitter.get(page)).body, page), ...signed };
  const refused = await shop.fitter.postRaw(page, form);
  expect([refused.statusCode, words(refused.body)]).toEqual([
    503,
    expect.stringContaining('takes longer to draw than it is given here. Nothing was issued: send it again.'),
  ]);
  expect(shop.job().log.issued).toHaveLength(0);
  Object.assign(services, { issuer });
  const again = { ...formOn(refused.body, page), passphrase };
  expect((await shop.fitter.postRaw(page, again)).statusCode).toBe(303);
  expect(shop.job().log.issued).toHaveLength(1);
});

test('the passphrase that signs is kept nowhere in the logbook', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  await shop.fitter.postRaw(page, { ...formOn((await shop.fitter.get(page)).body, page), ...signed });
  expect(JSON.stringify(shop.entries())).not.toContain(passphrase);
  expect(shop.job().log.issued).toHaveLength(1);
});

test('an owner’s link is made under an address of this machine alone, and one that was withdrawn or has run out opens nothing', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  await shop.fitter.post(page, signed);
  const form = formOn((await shop.fitter.get(page)).body, `/jobs/${shop.number}/link`);
  const host = { host: 'elsewhere.example', origin: 'http://elsewhere.example' };
  const refused = await shop.fitter.postRaw(`/jobs/${shop.number}/link`, form, host);
  expect([refused.statusCode, words(refused.body)]).toEqual([
    422,
    expect.stringMatching(/opened as elsewhere\.example.*Start the server with --address/),
  ]);
  expect(shop.store.shop.state().links).toHaveLength(0);
  const link = () => makeLink(shop.fitter, shop.number, '2026-12-25');
  const [one, two] = [await link(), await link()];
  const owner = new Browser(shop.app, '192.0.2.8');
  expect((await owner.get(one)).statusCode).toBe(200);
  const digest = shop.store.shop.state().links[0]?.tokenDigest ?? '';
  await shop.fitter.post(`/jobs/${shop.number}/link/withdrawal`, { link: digest }, { page });
  expect((await owner.get(one)).statusCode).toBe(404);
  expect((await owner.get(`${one}/record`)).statusCode).toBe(404);
  expect((await owner.get(two)).statusCode).toBe(200);
  shop.clock.move(31 * 86_400_000);
  expect((await owner.get(two)).statusCode).toBe(404);
});

test('the job goes out as one zip for its fitter', async () => {
  const shop = await playedShop((job) => job.log.steps.size === 0);
  const reply = await shop.fitter.get(`/jobs/${shop.number}/export`);
  expect(reply.headers['content-disposition']).toContain(`job-${shop.number}.zip`);
  expect(unzipJob(reply.rawPayload)).toMatchObject({
    format: 'inlet-job/1',
    job: shop.number,
  });
});

test('whoever signs reads the concessions that page one will print, each with what was conceded, and none that is over', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  const id = 'cord-and-spares';
  const subject = `step:${id}`;
  const done = shop.entries().findLast((e) => e.subject === subject && e.kind === 'step done') as Entry;
  const tam = { id: 'tam', name: 'Tam Whitlock' };
  const write = (entry: object, by = done.by) =>
    shop.store.logbook.append({
      ...{ job: shop.number, key: `written-${shop.entries().length}`, by, content: '' },
      decide: () => ({ ok: true, value: [entry as NewEntry] }),
    });
  const looked = () => write(shop.entries().findLast((e) => e.kind === 'second look signed') as Entry, tam);
  const opened = { kind: 'step reopened', subject, body: { reason: 'The bag is not in the van.' } };
  const reason = 'The spare comes by post.';
  write(opened);
  write({ kind: 'concession granted', subject, body: { reason } }, tam);
  looked();
  const { number, title } = shop.job().steps.get(id)!.step;
  const stands = words((await shop.fitter.get(page)).body);
  expect(stands).toContain(`Conceded: ${number} ${title}. “${reason}” Granted by Tam Whitlock`);
  write(opened);
  write(done);
  looked();
  const over = words((await shop.fitter.get(page)).body);
  expect(over).toContain('Issue revision 1');
  expect(over).not.toContain(reason);
});
