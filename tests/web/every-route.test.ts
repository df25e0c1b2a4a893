import type { LightMyRequestResponse } from 'fastify';
import { expect, onTestFinished, test, vi } from 'vitest';
import { buildApp } from '../../src/app.js';
import { AppError } from '../../src/errors.js';
import * as rules from '../../src/logbook/shop-rules.js';
import { addresses } from '../../src/web/routes.js';
import { ines } from '../store/temp-store.js';
import { playedShop } from './played-shop.js';
import { addPerson, Browser, passphrase, shopUnderTest, signedIn, tokensOf } from './shop-under-test.js';

const roles = ['fitter', 'checker', 'keeper'] as const;
const all = (status: number) => [status, status, status] as const;
const keeperGets = (status: number) => [403, 403, status] as const;
const notChecker = (status: number) => [status, 403, status] as const;

/** What a person gets who is a fitter, a checker or a keeper and nothing else; a form is sent with its token and nothing in it. */
const closed: Readonly<Record<string, readonly [fitter: number, checker: number, keeper: number]>> = {
  'POST /sign-out': all(303),
  'POST /again': all(303),
  'GET /form-token': all(200),
  'GET /account': all(200),
  'POST /account/passphrase': all(422),
  'POST /account/sessions/end': all(303),
  'POST /account/notices': all(303),
  'GET /people': keeperGets(200),
  'POST /people': keeperGets(422),
  'GET /people/:person': keeperGets(200),
  'POST /people/:person': keeperGets(422),
  'POST /people/:person/passphrase': keeperGets(422),
  'POST /people/:person/sessions/end': keeperGets(303),
  'GET /instruments': all(200),
  'POST /instruments': keeperGets(422),
  'GET /instruments/:instrument': keeperGets(200),
  'POST /instruments/:instrument': keeperGets(422),
  'POST /instruments/:instrument/finding': keeperGets(422),
  'GET /shop': keeperGets(200),
  'POST /shop': keeperGets(422),
  'POST /shop/key': keeperGets(422),
  'POST /shop/backup': keeperGets(303),
  'POST /shop/check': keeperGets(303),
  'GET /': all(200),
  'GET /jobs/new': all(200),
  'POST /jobs': all(422),
  'GET /jobs/:job': all(200),
  'GET /jobs/:job/parts/:part': all(200),
  'GET /jobs/:job/description': all(200),
  'POST /jobs/:job/description': all(422),
  'GET /jobs/:job/circuit': all(200),
  'POST /jobs/:job/circuit': all(422),
  'GET /jobs/:job/changes/:entry': all(200),
  'GET /jobs/:job/sheet': all(200),
  'POST /jobs/:job/sheet/:line/concession': all(422),
  'GET /jobs/:job/steps/:step': all(200),
  'POST /jobs/:job/steps/:step': all(422),
  'POST /jobs/:job/steps/:step/photos': all(422),
  'POST /jobs/:job/steps/:step/reopening': all(422),
  'POST /jobs/:job/steps/:step/concession': all(422),
  'GET /jobs/:job/readings': all(200),
  'GET /jobs/:job/readings.csv': all(200),
  'GET /jobs/:job/readings/:reading': all(200),
  'POST /jobs/:job/readings/:reading': all(422),
  'POST /jobs/:job/readings/:reading/strike': all(422),
  'POST /jobs/:job/readings/:reading/concession': all(422),
  'GET /jobs/:job/defects': all(200),
  'POST /jobs/:job/defects': all(422),
  'GET /jobs/:job/defects/:entry': all(200),
  'POST /jobs/:job/defects/:entry/rework': all(422),
  'GET /jobs/:job/logbook': all(200),
  'GET /jobs/:job/second-look': all(200),
  'POST /jobs/:job/second-look': all(422),
  'GET /jobs/:job/record': all(200),
  'POST /jobs/:job/record': notChecker(422),
  'GET /jobs/:job/record/:revision': all(200),
  'POST /jobs/:job/record/:revision/withdrawal': all(422),
  'POST /jobs/:job/link': notChecker(422),
  'POST /jobs/:job/link/withdrawal': notChecker(404),
  'GET /jobs/:job/export': notChecker(200),
  'POST /jobs/:job/rest': all(422),
  'POST /jobs/:job/closure': all(422),
  'POST /jobs/:job/resumption': all(422),
  'GET /readings-without-a-job': all(200),
  'POST /readings-without-a-job': all(422),
  'GET /sketch': all(200),
  'GET /photos/:photo': all(200),
  'GET /photos/:photo/small': all(200),
};

/** What is open answers a stranger, and whoever is signed in. */
const open: Readonly<Record<string, readonly [stranger: number, signedIn: number]>> = {
  'GET /health': [200, 200],
  'GET /version': [200, 200],
  'GET /schemas/:schema': [200, 200],
  'GET /assets/*': [200, 200],
  'GET /set-up': [303, 303],
  'POST /set-up': [404, 404],
  'GET /sign-in': [200, 303],
  'POST /sign-in': [422, 422],
  'GET /glossary': [200, 200],
  'GET /o/:token': [200, 200],
  'GET /o/:token/record': [200, 200],
  'POST /o/:token/acknowledgement': [422, 422],
  'GET /verify': [200, 200],
  'POST /verify': [422, 422],
};

/** How files are handed out, and what may be kept of them by whom; a page may be kept by nobody. */
const handedOut: Readonly<Record<string, { cache?: string; as?: RegExp; policy?: string }>> = {
  'GET /schemas/:schema': { cache: 'no-cache' },
  'GET /assets/*': { cache: 'no-cache' },
  'GET /jobs/:job/readings.csv': { as: /^attachment; filename="readings-[\w-]+\.csv"$/ },
  'GET /jobs/:job/record/:revision': { as: /^attachment; filename="inlet-record-[\w-]+-r1\.pdf"$/ },
  'GET /o/:token/record': { as: /^attachment; filename="inlet-record-[\w-]+-r1\.pdf"$/ },
  'GET /jobs/:job/export': { as: /^attachment; filename="job-[\w-]+\.zip"$/ },
  ...Object.fromEntries(
    ['GET /photos/:photo', 'GET /photos/:photo/small'].map((key) => [
      key,
      {
        cache: 'private, max-age=31536000, immutable',
        as: /^inline; filename="photo-[0-9a-f]{12}\.jpg"$/,
        policy: "default-src 'none'; sandbox",
      },
    ]),
  ),
};

const pagePolicy =
  "default-src 'none';script-src 'self';style-src 'self';font-src 'self';img-src 'self' blob:;connect-src 'self';form-action 'self';frame-ancestors 'none';base-uri 'none';object-src 'none'";

function expectHeaders(name: string, { headers, statusCode }: LightMyRequestResponse, key = ''): void {
  const { cache, as, policy } = (statusCode === 200 ? handedOut[key] : undefined) ?? {};
  expect([name, headers]).toEqual([
    name,
    expect.objectContaining({
      'content-security-policy': policy ?? pagePolicy,
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-resource-policy': 'same-origin',
      'referrer-policy': 'same-origin',
      'x-content-type-options': 'nosniff',
      'x-frame-options': 'DENY',
      'cache-control': cache ?? 'no-store',
    }),
  ]);
  if (as === undefined) expect([name, headers['content-disposition']]).toEqual([name, undefined]);
  else expect(headers['content-disposition']).toMatch(as);
}

/** A finished job whose record is issued and whose owner has a link; somebody of each role, and one who is retired. */
async function everything() {
  const shop = await playedShop();
  const { store } = shop;
  for (const role of roles) addPerson(shop, `only-${role}`, `Only ${role}`, [role]);
  addPerson(shop, 'gone', 'Gone Person', [...roles]);
  const retired = signedIn(shop, 'gone');
  const leaves = { name: 'Gone Person', roles: [...roles], active: false };
  store.shop.append({ by: ines, decide: (state) => rules.changePerson(state, 'gone', leaves) });
  const page = `/jobs/${shop.number}/record`;
  await shop.fitter.post(page, { 'signature.name': 'Ines Okafor', 'signature.strokes': '', passphrase });
  const link = { heldBy: 'Odile Brandt', until: '2027-11-25' };
  await shop.fitter.post(`/jobs/${shop.number}/link`, link, { page });
  const job = shop.job();
  const seq = (kind: string) => String(shop.entries().find((e) => e.kind === kind)?.seq);
  const ids: Record<string, string | undefined> = {
    ...{ job: shop.number, part: 'inlet', step: 'ground-path', reading: [...job.readings.keys()][0] },
    ...{ photo: job.log.photos[0]?.body.photo, line: job.sheet[0]?.line.id, revision: '1', person: 'tam' },
    ...{ instrument: store.shop.state().instruments[0]?.id, schema: 'inlet-job-1.json' },
    token: /\/o\/([\w-]{32})</.exec((await shop.fitter.get(page)).body)?.[1],
    'changes/:entry': seq('circuit set'),
    'defects/:entry': seq('defect raised'),
  };
  const filledIn = (url: string) =>
    url
      .replace('*', 'inlet.css')
      .replace(/(changes\/|defects\/)?:([a-z]+)/g, (whole, folder: string | undefined, name: string) => {
        const id = ids[whole] ?? ids[name];
        if (id === undefined) throw new Error(`${whole} has no id in this test`);
        return `${folder ?? ''}${id}`;
      });
  const counted = () => {
    const tables = ['entries', 'shop_entries', 'heads', 'secrets', 'photos', 'records'];
    // Sessions of nobody come with any page that has a form.
    return [...tables, "sessions WHERE person <> ''"].map((rows) => [
      rows,
      store.db.prepare(`SELECT count(*) AS n FROM ${rows}`).get(),
    ]);
  };
  return { shop, retired, filledIn, counted };
}

test('every address has its line here, and every line its address', () => {
  const listed = addresses.map(([method, url]) => `${method} ${url}`).sort();
  expect([...Object.keys(closed), ...Object.keys(open)].sort()).toEqual(listed);
  const opened = addresses.filter(([, , access]) => access === 'open').map(([m, u]) => `${m} ${u}`);
  expect(Object.keys(open).sort()).toEqual(opened.sort());
});

test('of a job that is there, each address answers each role as it should, and what is refused leaves nothing behind', async () => {
  const { shop, retired, filledIn, counted } = await everything();
  const wrong: unknown[] = [];
  const ask = async (browser: Browser, csrf: string, key: string) => {
    const [method = '', url = ''] = key.split(' ');
    const before = counted();
    const reply =
      method === 'GET'
        ? await browser.get(filledIn(url))
        : await browser.postRaw(filledIn(url), { _csrf: csrf });
    if (reply.statusCode >= 400) expect([key, counted()]).toEqual([key, before]);
    expectHeaders(key, reply, key);
    return reply;
  };
  for (const [k, role] of roles.entries()) {
    const browser = signedIn(shop, `only-${role}`);
    const csrf = tokensOf((await browser.get('/account')).body)._csrf;
    for (const [key, expected] of Object.entries(closed)) {
      if (key === 'POST /sign-out') continue;
      const { statusCode } = await ask(browser, csrf, key);
      if (statusCode !== expected[k]) wrong.push([role, key, statusCode, expected[k]]);
    }
    for (const [key, [, expected]] of Object.entries(open)) {
      if (role !== 'fitter') continue;
      const { statusCode } = await ask(browser, csrf, key);
      if (statusCode !== expected) wrong.push([role, key, statusCode, expected]);
    }
    const { statusCode } = await ask(browser, csrf, 'POST /sign-out');
    if (statusCode !== closed['POST /sign-out']?.[k]) wrong.push([role, 'POST /sign-out', statusCode]);
  }
  const stranger = new Browser(shop.app, '192.0.2.9');
  const owner = new Browser(shop.app, '192.0.2.7');
  for (const browser of [stranger, retired, owner]) {
    const who = browser === retired ? 'retired' : 'stranger';
    const csrf = tokensOf(
      (await browser.get(browser === owner ? filledIn('/o/:token') : '/verify')).body,
    )._csrf;
    for (const key of Object.keys(closed)) {
      const reply = await ask(browser, csrf, key);
      const expected = key.startsWith('GET') ? 303 : 401;
      const away = String(reply.headers.location ?? '/sign-in?next=').startsWith('/sign-in?next=');
      if (reply.statusCode !== expected || !away) wrong.push([who, key, reply.statusCode, expected]);
    }
    for (const [key, [expected]] of Object.entries(open)) {
      const { statusCode } = await ask(browser, csrf, key);
      if (statusCode !== expected) wrong.push([who, key, statusCode, expected]);
    }
  }
  expect(wrong).toEqual([]);
}, 600_000);

test('every refusal goes out under the same headers, even where no page can be drawn', async () => {
  const { app, store, clock } = await shopUnderTest();
  const browser = new Browser(app);
  const refusals: [number, () => Promise<LightMyRequestResponse>][] = [
    [403, () => browser.postRaw('/sign-in', {})],
    [404, () => browser.get('/nowhere')],
    [413, () => browser.postRaw('/verify', { _csrf: 'x'.repeat(600_000) })],
  ];
  for (const [status, ask] of refusals) {
    const reply = await ask();
    expect(reply.statusCode).toBe(status);
    expectHeaders(String(status), reply);
  }
  const unread = await browser.get('/%zz');
  expect([unread.statusCode, unread.headers]).toEqual([
    400,
    expect.objectContaining({ 'cache-control': 'no-store', 'x-content-type-options': 'nosniff' }),
  ]);
  const few = await buildApp({ config: { logLevel: 'silent' }, store, clock, requestsPerMinute: 1 });
  onTestFinished(() => few.close());
  // The limit counts by the machine's clock: it stands, however slow the machine is.
  vi.useFakeTimers({ toFake: ['Date'] });
  onTestFinished(() => void vi.useRealTimers());
  const hasty = new Browser(few);
  await hasty.get('/verify');
  const told = await hasty.get('/verify');
  expect([told.statusCode, told.headers['retry-after']]).toEqual([429, '60']);
  expectHeaders('429', told);
  for (const [status, error] of [
    [500, new Error('a fault that nobody foresaw')],
    [503, new AppError('logbook-broken')],
  ] as const) {
    const spy = vi.spyOn(store.shop, 'state').mockImplementation(() => {
      throw error;
    });
    const reply = await browser.get('/verify');
    spy.mockRestore();
    expect([reply.statusCode, reply.body.includes('nobody foresaw')]).toEqual([status, false]);
    expectHeaders(String(status), reply);
  }
});
