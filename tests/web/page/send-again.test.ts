import { expect, test, vi } from 'vitest';
import { AppError } from '../../../src/errors.js';
import { playedShop } from '../played-shop.js';
import { formOn } from '../read-form.js';
import { here, passphrase, shopUnderTest, signedIn, tokensOf } from '../shop-under-test.js';

async function readingTyped() {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const url = `/jobs/${shop.number}/readings/ground-path.bench`;
  const form: Record<string, string> = formOn((await shop.fitter.get(url)).body, url);
  Object.assign(form, { ohms: '0.07', note: 'By the step' });
  const before = shop.entries().length;
  /** The form filled in again, from the page that refused it. */
  const filledAgain = async () => {
    const into = await shop.fitter.postRaw('/again', formOn(shop.fitter.last!.body, '/again'), here);
    return formOn((await shop.fitter.get(String(into.headers.location))).body, url);
  };
  return { ...shop, url, form, filledAgain, written: () => shop.entries().length - before };
}

test.each([
  ['closed for writing', new AppError('logbook-broken'), 503],
  ['on a full disk', new AppError('store-full'), 507],
  ['where something breaks', new Error('a fault that nobody foresaw'), 500],
])(
  '%s, what was typed stays in a form to send again and in one to fill in again',
  async (_what, error, status) => {
    const { store, fitter, url, form, filledAgain, written } = await readingTyped();
    const broken = vi.spyOn(store.logbook, 'appendTogether').mockRejectedValue(error);
    const refused = await fitter.postRaw(url, form, here);
    expect(refused.statusCode).toBe(status);
    expect(refused.body).toContain('What you typed is kept on this page, not sent yet.');
    const send = formOn(refused.body, url);
    expect({ ...send, _csrf: '' }).toEqual({ ...form, _csrf: '' });
    expect(await filledAgain()).toMatchObject({ ohms: '0.07', note: 'By the step' });
    expect((await fitter.postRaw(url, send, here)).statusCode).toBe(status);
    broken.mockRestore();
    expect((await fitter.postRaw(url, send, here)).statusCode).toBe(303);
    expect((await fitter.postRaw(url, send, here)).statusCode).toBe(303);
    expect(written()).toBe(1);
  },
);

test('a form whose token is not of this session is filled in again, and never sent unseen', async () => {
  const { fitter, url, form, filledAgain, written } = await readingTyped();
  const refused = await fitter.postRaw(url, { ...form, _csrf: 'stale' }, here);
  expect(refused.statusCode).toBe(403);
  const byHand = 'Open its page here again';
  expect(refused.body).not.toContain(byHand);
  expect(() => formOn(refused.body, url)).toThrow('no form is sent to');
  const again = await filledAgain();
  expect(again).toMatchObject({ ohms: '0.07', note: 'By the step' });
  expect(written()).toBe(0);
  expect((await fitter.postRaw(url, again, here)).statusCode).toBe(303);
  // What nobody says the origin of may have been made up by another site.
  const unsaid = await fitter.postRaw(url, { ...form, _csrf: 'stale' });
  expect([unsaid.statusCode, unsaid.body.includes('action="/again"')]).toEqual([403, false]);
  expect(unsaid.body).toContain(byHand);
});

test('a form that was sent already is filled in again under a key of its own', async () => {
  const { fitter, url, form, filledAgain, written } = await readingTyped();
  await fitter.postRaw(url, form, here);
  const reused = await fitter.postRaw(url, { ...form, ohms: '0.08' }, here);
  expect(reused.statusCode).toBe(422);
  const again = await filledAgain();
  expect([again.ohms, again._key === form._key, written()]).toEqual(['0.08', false, 1]);
});

test('a form with more words than any page takes names the field that has them, and can be filled in again', async () => {
  const { fitter, url, form, filledAgain } = await readingTyped();
  const note = 'ein Satz, “ohne” Ende. '.repeat(26_000);
  const refused = await fitter.postRaw(url, { ...form, note }, here);
  expect(refused.statusCode).toBe(413);
  expect(refused.body).toContain('note has 598,000 characters: shorten it');
  const again = await filledAgain();
  expect([again.ohms, again.note === note]).toEqual(['0.07', true]);
});

test('of a whole shelf of photos the form says how many it takes, and keeps what was typed behind them', async () => {
  const shop = await playedShop((job) => job.next?.step.asks.some((ask) => ask.kind === 'photo') === true);
  const step = shop.job().next!.step;
  const url = `/jobs/${shop.number}/steps/${step.id}`;
  const form = formOn((await shop.fitter.get(url)).body, url);
  const photo = step.asks.find((ask) => ask.kind === 'photo')!;
  const tick = step.asks.find((ask) => ask.kind === 'tick')!;
  const parts = new FormData();
  // In the order of the page, whose photos stand above.
  for (let k = 0; k < 70; k += 1)
    parts.append(`photo.${photo.id}`, new Blob([Buffer.alloc(300, k)]), `${k}.jpg`);
  for (const [name, value] of Object.entries({ ...form, [`ask.${tick.id}`]: 'yes' }))
    parts.append(name, value);
  const reply = await shop.fitter.postParts(url, parts, here);
  expect(reply.statusCode).toBe(422);
  expect(formOn(reply.body, url)[`ask.${tick.id}`]).toBe('yes');
});

test('a passphrase is typed anew: a form with one is only filled in again', async () => {
  const shop = await shopUnderTest();
  const browser = signedIn(shop, 'ines');
  const tokens = tokensOf((await browser.get('/people')).body);
  const broken = vi.spyOn(shop.store.shop, 'append').mockImplementation(() => {
    throw new AppError('store-full');
  });
  const typed = {
    ...formOn(browser.last!.body, '/people'),
    ...tokens,
    name: 'Tam',
    signIn: 'tam',
    passphrase,
  };
  const refused = await browser.postRaw('/people', typed, here);
  broken.mockRestore();
  expect([refused.statusCode, refused.body.includes(passphrase)]).toEqual([507, false]);
  expect(() => formOn(refused.body, '/people')).toThrow('no form is sent to');
  const into = await browser.postRaw('/again', formOn(refused.body, '/again'), here);
  const back = formOn((await browser.get(String(into.headers.location))).body, '/people');
  expect(back).toMatchObject({ name: 'Tam', signIn: 'tam', passphrase: '' });
});

test('an owner whose page was open for long sends the same again', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  await shop.fitter.post(page, { 'signature.name': 'Ines Okafor', 'signature.strokes': '', passphrase });
  await shop.fitter.post(
    `/jobs/${shop.number}/link`,
    { heldBy: 'Odile Brandt', until: '2027-11-25' },
    { page },
  );
  const [, link = ''] = /(\/o\/[\w-]{32})</.exec((await shop.fitter.get(page)).body) ?? [];
  const owner = signedIn(shop, 'nobody');
  owner.cookie = '';
  const action = `${link}/acknowledgement`;
  const form = { ...formOn((await owner.get(link)).body, action), 'signature.name': 'Odile Brandt' };
  shop.clock.move(3 * 3_600_000);
  const late = await owner.postRaw(action, form, here);
  expect(late.statusCode).toBe(403);
  const again = formOn(late.body, action);
  expect(again['signature.name']).toBe('Odile Brandt');
  expect((await owner.postRaw(action, again, here)).statusCode).toBe(303);
  expect(shop.entries().at(-1)?.kind).toBe('owner acknowledged');
});
