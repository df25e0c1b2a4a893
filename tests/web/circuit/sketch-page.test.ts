import { expect, test } from 'vitest';
import { formOn, plain } from '../read-form.js';
import { Browser, shopUnderTest, signedIn } from '../shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]*>/g, ' ')).replace(/\s+/g, ' ');
const query = (fields: Record<string, string>) => `/sketch?${new URLSearchParams(fields)}`;

async function atTheBench() {
  const shop = await shopUnderTest();
  const browser = signedIn(shop, 'ines');
  const { body } = await browser.get('/sketch');
  return { browser, shop, form: formOn(body, '/sketch') };
}

/** Sends the form and goes where it leads. */
async function send(browser: Browser, fields: Record<string, string>) {
  const reply = await browser.get(query(fields));
  return reply.statusCode === 303 ? browser.get(String(reply.headers.location)) : reply;
}

test('a sketch is drawn from its address alone, which a form leads to without what it carried along', async () => {
  const { browser, form } = await atTheBench();
  const sent = await browser.get(query({ ...form, 'cord.lengthM': '100' }));
  expect(sent.statusCode).toBe(303);
  const address = String(sent.headers.location);
  expect(address).not.toContain('last=');
  const { body, statusCode } = await browser.get(address);
  expect(statusCode).toBe(200);
  expect(words(body)).toMatch(/With 12 A at outlet 2: .* V there.* the cord 4\.\d V/);
  expect(words(body)).toContain('12 AWG 100 ft');
  expect(formOn(body, '/sketch')['cord.lengthM']).toBe('100');
  // The same address says the same, as often as it is opened.
  expect(words((await browser.get(address)).body)).toContain('12 AWG 100 ft');
});

test('a figure that is none names its field, is kept, and leaves the last good drawing', async () => {
  const { browser, form } = await atTheBench();
  const good = formOn((await send(browser, { ...form, 'cord.lengthM': '33' })).body, '/sketch');
  const { body, statusCode } = await browser.get(
    query({ ...good, 'cord.lengthM': 'long', 'run.1.feed.lengthM': '' }),
  );
  expect(statusCode).toBe(422);
  expect(words(body)).toContain('Cord, Cord length: “long” is not a number');
  expect(words(body)).toContain('Outlet 2, Length of that cable: needs a value');
  expect(words(body)).toContain('last sketch that could be read');
  expect(words(body)).toContain('12 AWG 33 ft');
  expect(formOn(body, '/sketch')['cord.lengthM']).toBe('long');
  const mended = await send(browser, {
    ...formOn(body, '/sketch'),
    'cord.lengthM': '34',
    'run.1.feed.lengthM': '5',
  });
  expect(words(mended.body)).toContain('12 AWG 34 ft');
});

test.each([
  ['cord.lengthM', '1000', /Cord length: must be at most 196\.85 ft/],
  ['outlets', '9', /“9” is no number from 1 to 8/],
  ['breaker.amps', '16', /Breaker rating: choose 15, 20 or 30 A/],
  ['run.0.loads.2.amount', '300', /Outlet 1, load 3: must not be empty/],
] as const)('%s of %s is refused with its reason', async (field, value, says) => {
  const { browser, form } = await atTheBench();
  const { body, statusCode } = await browser.get(query({ ...form, [field]: value }));
  expect(statusCode).toBe(422);
  expect(words(body)).toMatch(says);
});

test('an outlet more starts as the one before it, and a load asks for a row more', async () => {
  const { browser, form } = await atTheBench();
  const load = { 'run.0.loads.0.name': 'kettle', 'run.0.loads.0.amount': '1500' };
  const next = formOn((await send(browser, { ...form, outlets: '8', ...load })).body, '/sketch');
  expect(next['run.7.feed.lengthM']).toBe(form['run.1.feed.lengthM']);
  expect(next).toHaveProperty(['run.0.loads.1.name'], '');
  expect(next).not.toHaveProperty(['run.0.loads.2.name']);
  const { body } = await send(browser, { ...next, outlets: '1', on: '0.0' });
  expect(words(body)).toContain('On: kettle, 12.5 A of 15 A.');
});

test('a load tried stays the one that was tapped when a row before it is emptied', async () => {
  const { browser, form } = await atTheBench();
  const rows = { 'run.0.loads.2.name': 'iron', 'run.0.loads.2.amount': '1200', on: '0.2' };
  const { body } = await send(browser, { ...form, ...rows });
  expect(words(body)).toContain('On: iron, 10 A of 15 A.');
  expect(body).toMatch(/value="0\.2"[^>]*checked/);
});

test('a job is made from a sketch: its figures stand in the circuit’s form, each outlet with an identity of its own', async () => {
  const { browser, form, shop } = await atTheBench();
  const load = { 'run.1.loads.0.name': 'glue pot', 'run.1.loads.0.amount': '300' };
  const sketch = await send(browser, { ...form, 'cord.awg': '10', outlets: '3', ...load });
  const link = plain(/href="(\/jobs\/new\?[^"]+)"/.exec(sketch.body)![1]!);
  const start = formOn((await browser.get(link)).body, '/jobs');
  // What must be mended on the way keeps the sketch.
  const refused = await browser.postRaw('/jobs', start);
  expect(refused.statusCode).toBe(422);
  const again = formOn(refused.body, '/jobs');
  const van = { 'vehicle.description': 'Bindery van', owner: 'Ada Fenn', place: 'Yard' };
  const opened = await browser.postRaw('/jobs', { ...again, ...van });
  expect(opened.statusCode).toBe(303);
  const circuit = await browser.get(String(opened.headers.location));
  const number = /\/jobs\/([^/]+)\//.exec(String(opened.headers.location))![1]!;
  const fields = formOn(circuit.body, `/jobs/${number}/circuit`);
  expect(fields).toMatchObject({
    'cord.awg': '10',
    'run.1.loads.0.name': 'glue pot',
    'run.1.loads.0.amount': '300',
    'run.2.feed.lengthM': '6',
    'run.2.feed.lengthM.unit': 'ft',
    'run.0.place': '',
    'run.0.device': 'gfci-receptacle',
  });
  expect(new Set([0, 1, 2].map((k) => fields[`run.${k}.id`])).size).toBe(3);
  expect(shop.store.logbook.entries(number).map((e) => e.kind)).toEqual(['job described']);
});

test('a sketch keeps nothing, and nobody without a session sees one', async () => {
  const { browser, form, shop } = await atTheBench();
  const before = shop.store.shop.state().entries.length;
  await send(browser, { ...form, 'cord.lengthM': '40' });
  expect(shop.store.shop.state().entries).toHaveLength(before);
  const stranger = await new Browser(shop.app).get('/sketch');
  expect(stranger.statusCode).not.toBe(200);
});

test('names that no sketch has, far too long ones and a last sketch of nonsense do no harm', async () => {
  const { browser, form } = await atTheBench();
  for (const odd of [
    { ...form, last: 'x'.repeat(7000), 'cord.lengthM': '' },
    { ...form, last: '%%%&&==', 'cord.lengthM': '' },
    { __proto__: 'x', constructor: 'y', 'run.0.id': 'evil', 'run.0.loads.0.name': '<b>'.repeat(20) },
  ] as Record<string, string>[]) {
    const { statusCode, body } = await browser.get(query(odd));
    expect([303, 422]).toContain(statusCode);
    expect(body).not.toContain('<b><b>');
  }
});
