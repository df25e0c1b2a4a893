import { expect, onTestFinished, test, vi } from 'vitest';
import { playedShop } from '../played-shop.js';
import { plain } from '../read-form.js';
import { Browser, passphrase, signedIn, toMend } from '../shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');
const signed = { 'signature.name': 'Ines Okafor', 'signature.strokes': '', passphrase };

/** A job with its record issued, and what its fitter does with the owner's links. */
async function issued() {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  await shop.fitter.post(page, signed);
  const make = (fields: Record<string, string>) =>
    shop.fitter.post(`/jobs/${shop.number}/link`, fields, { page });
  const shown = async () => (await shop.fitter.get(page)).body;
  const made = async (fields: Record<string, string>) => {
    expect((await make(fields)).statusCode).toBe(303);
    return /\/o\/[\w-]{32}/.exec(await shown())?.[0] as string;
  };
  const links = () => shop.store.shop.state().links;
  return { ...shop, page, make, made, shown, links };
}

test('a link has a last day, a year on where it is left alone and three years at the most, and the name of its owner as it was typed', async () => {
  const shop = await issued();
  const form = await shop.shown();
  expect(form).toMatch(/name="heldBy" type="text" value="Odile Brandt"/);
  expect(form).toMatch(/name="until" type="date" value="2027-11-25"/);
  for (const [until, message] of [
    ['', 'The last day: must be a day such as 2027-11-25'],
    ['next year', 'The last day: must be a day such as 2027-11-25'],
    ['2027-02-30', 'The last day: must be a day such as 2027-11-25'],
    ['2026-11-24', 'The last day: is past already'],
    ['2029-11-25', 'The last day: may be 2029-11-24 at the latest: the owner can be given another then'],
  ] as const) {
    const refused = await shop.make({ heldBy: 'Odile <Brandt>', until });
    expect([until, refused.statusCode, toMend(refused.body)]).toEqual([until, 422, [message]]);
    expect(refused.body).toContain('value="Odile &lt;Brandt&gt;"');
  }
  const unnamed = await shop.make({ heldBy: '  ', until: '2027-01-01' });
  expect(toMend(unnamed.body)).toEqual(['Who it is for: name the owner whom you give it to']);
  const long = await shop.make({ heldBy: 'o'.repeat(81), until: '2027-01-01' });
  expect(toMend(long.body)).toEqual(['Who it is for: takes at most 80 characters']);
  expect(shop.links()).toEqual([]);
  const path = await shop.made({ heldBy: 'O. Brandt & daughter', until: '2029-11-24' });
  expect(shop.links()).toMatchObject([
    { heldBy: 'O. Brandt & daughter', expires: '2029-11-24T23:59:59.999Z', by: 'Ines Okafor' },
  ]);
  const owner = new Browser(shop.app, '192.0.2.7');
  shop.clock.move(Date.parse('2029-11-24T23:59:59.998Z') - shop.clock().getTime());
  expect((await owner.get(path)).statusCode).toBe(200);
  shop.clock.move(1);
  expect((await owner.get(path)).statusCode).toBe(404);
  // Whoever hands out links was signed out long since.
  const list = (await signedIn(shop, 'ines').get(shop.page)).body;
  expect(words(list)).toMatch(/daughter run out Made/);
});

test('a link is passed on when the van is sold: the old one opens nothing, the new one has another name, and both are written', async () => {
  const shop = await issued();
  const odile = await shop.made({ heldBy: 'Odile Brandt', until: '2027-11-25' });
  const first = shop.links()[0]?.tokenDigest as string;
  const before = shop.store.shop.state().entries.length;
  const lotte = await shop.made({ heldBy: 'Lotte Vance', until: '2027-11-25', takesPlaceOf: first });
  const owner = new Browser(shop.app, '192.0.2.7');
  expect([(await owner.get(odile)).statusCode, (await owner.get(lotte)).statusCode]).toEqual([404, 200]);
  expect(shop.store.shop.state().entries.slice(before)).toMatchObject([
    { kind: 'link withdrawn', subject: first, body: { reason: 'Passed on to Lotte Vance' } },
    { kind: 'link made', body: { heldBy: 'Lotte Vance', takesPlaceOf: first } },
  ]);
  expect(words(await shop.shown())).toMatch(
    /Lotte Vance open Made .* Odile Brandt passed on Made .* Passed on to Lotte Vance\./,
  );
  // What opens nothing any more is not passed on again, nor is a link of another job.
  for (const other of [first, 'a'.repeat(64), '__proto__']) {
    const refused = await shop.make({ heldBy: 'A third', until: '2027-11-25', takesPlaceOf: other });
    expect([refused.statusCode, toMend(refused.body)]).toEqual([
      422,
      ['Takes the place of: opens nothing any more'],
    ]);
  }
  expect(shop.links()).toHaveLength(2);
});

test('the list says when a link was opened last, by its page or its record', async () => {
  const shop = await issued();
  const path = await shop.made({ heldBy: 'Odile Brandt', until: '2027-11-25' });
  expect(words(await shop.shown())).toContain('Last opened: never');
  const owner = new Browser(shop.app, '192.0.2.7');
  shop.clock.move(3_600_000);
  await owner.get(path);
  expect(words(await shop.shown())).toContain('Last opened: 25 Nov 2026, 09:00 UTC');
  shop.clock.move(3_600_000);
  await owner.get(`${path}/record`);
  expect(words(await shop.shown())).toContain('Last opened: 25 Nov 2026, 10:00 UTC');
  await owner.get('/o/'.padEnd(35, 'x'));
  expect(words(await shop.shown())).toContain('Last opened: 25 Nov 2026, 10:00 UTC');
});

test('a link’s secret is written down nowhere, and is shown once to the session that made it', async () => {
  const shop = await issued();
  expect((await shop.make({ heldBy: 'Odile Brandt', until: '2027-11-25' })).statusCode).toBe(303);
  const rows = () => {
    const tables = shop.store.db
      .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND sql NOT LIKE '%VIRTUAL%'")
      .all() as { name: string }[];
    return JSON.stringify(tables.map(({ name }) => shop.store.db.prepare(`SELECT * FROM "${name}"`).all()));
  };
  const waiting = rows();
  const other = signedIn(shop, 'ines', '192.0.2.50');
  expect((await other.get(shop.page)).body).not.toMatch(/\/o\/[\w-]{32}</);
  const token = /\/o\/([\w-]{32})</.exec(await shop.shown())?.[1] as string;
  expect(token).toBeDefined();
  expect(waiting).not.toContain(token);
  expect(rows()).not.toContain(token);
  expect(await shop.shown()).not.toContain(token);
});

test('one address that tries many links is told to wait, and another is not', async () => {
  const shop = await issued();
  const path = await shop.made({ heldBy: 'Odile Brandt', until: '2027-11-25' });
  // The limit counts by the machine's clock: it stands, however slow the machine is.
  vi.useFakeTimers({ toFake: ['Date'] });
  onTestFinished(() => void vi.useRealTimers());
  const guesser = new Browser(shop.app, '192.0.2.66');
  for (let k = 0; k < 60; k += 1)
    expect((await guesser.get(`/o/${String(k).padStart(32, 'g')}`)).statusCode).toBe(404);
  const told = await guesser.get(path);
  expect([told.statusCode, told.headers['retry-after']]).toEqual([429, '60']);
  expect(words(told.body)).toContain('Too many');
  expect((await new Browser(shop.app, '192.0.2.67').get(path)).statusCode).toBe(200);
});
