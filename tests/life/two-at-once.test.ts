import fc from 'fast-check';
import { expect, test } from 'vitest';
import { chainFault } from '../../src/logbook/chain.js';
import { type PlayedShop, playedShop } from '../web/played-shop.js';
import { formOn, plain } from '../web/read-form.js';
import { addPerson, Browser, passphrase } from '../web/shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');
const meanwhile = (html: string) =>
  /<section class="errors meanwhile"[\s\S]*?<\/section>/.exec(html)?.[0] ?? '';

async function colleague(shop: PlayedShop): Promise<Browser> {
  addPerson(shop, 'per', 'Per Lindqvist', ['fitter', 'checker']);
  const browser = new Browser(shop.app, '192.0.2.9');
  await browser.signIn('per');
  return browser;
}

/** A reading that can be taken now, and the form on its page. */
async function readingForm(shop: PlayedShop, browser: Browser, id: string, more: Record<string, string>) {
  const url = `/jobs/${shop.number}/readings/${id}`;
  return { url, form: { ...formOn((await browser.get(url)).body, url), ...more } };
}
const atDeadTests = () => playedShop((job) => job.next?.step.id === 'ground-path');
const ids = ['ground-path.bench', 'ground-path.press', 'ground-path.locker'] as const;
const [first, second] = ids;

test('two fitters take the same reading: the second reads what the first wrote before their own goes in behind it', async () => {
  const shop = await atDeadTests();
  const per = await colleague(shop);
  const id = first;
  const mine = await readingForm(shop, shop.fitter, id, { ohms: '0.07', note: 'from the van end' });
  const theirs = await readingForm(shop, per, id, { ohms: '0.05' });
  expect((await per.postRaw(theirs.url, theirs.form)).statusCode).toBe(303);

  const refused = await shop.fitter.postRaw(mine.url, mine.form);
  expect(refused.statusCode).toBe(409);
  expect(words(meanwhile(refused.body))).toMatch(
    /Per Lindqvist , \d+ \w+ 20\d\d, \d\d:\d\d UTC: reading taken, G1 .* Shown 0\.05 Ω/,
  );
  const back = formOn(refused.body, mine.url);
  expect([back.ohms, back.note]).toEqual(['0.07', 'from the van end']);
  expect(Number.parseInt(back._seen as string, 10)).toBe(shop.entries().length);
  expect((await shop.fitter.postRaw(mine.url, back)).statusCode).toBe(303);
  const taken = shop
    .job()
    .log.readings.get(`reading:${id}`)
    ?.map((e) => e.by.name);
  expect(taken).toEqual(['Per Lindqvist', 'Ines Okafor']);
});

test('what another writes about something else disturbs nobody, and what one wrote oneself on another page does', async () => {
  const shop = await atDeadTests();
  const per = await colleague(shop);
  const mine = await readingForm(shop, shop.fitter, first, { ohms: '0.07' });
  const otherTab = await readingForm(shop, shop.fitter, first, { ohms: '0.09' });
  const theirs = await readingForm(shop, per, second, { ohms: '0.05' });
  expect((await per.postRaw(theirs.url, theirs.form)).statusCode).toBe(303);
  expect((await shop.fitter.postRaw(mine.url, mine.form)).statusCode).toBe(303);
  // Sent twice it is still one entry, and no quarrel with itself.
  expect((await shop.fitter.postRaw(mine.url, mine.form)).statusCode).toBe(303);
  const refused = await shop.fitter.postRaw(otherTab.url, otherTab.form);
  expect(refused.statusCode).toBe(409);
  expect(words(meanwhile(refused.body))).toContain('You, on another page or phone');
});

test('a reading kept on a phone while a mend disturbed its place does not count as one taken after the mend', async () => {
  const shop = await atDeadTests();
  const per = await colleague(shop);
  const kept = await readingForm(shop, shop.fitter, first, { ohms: '0.07' });
  shop.clock.move(3_600_000);
  const raised = await per.post(`/jobs/${shop.number}/defects`, {
    about: `reading:${second}`,
    what: 'The lug turns.',
  });
  const defect = raised.headers.location as string;
  await per.post(
    `${defect}/rework`,
    { found: 'loose', done: 'landed again', disturbs: 'breaker-or-inlet-box-opened' },
    { page: defect },
  );
  const refused = await shop.fitter.postRaw(kept.url, kept.form);
  expect(refused.statusCode).toBe(409);
  expect(words(meanwhile(refused.body))).toContain('box was opened');
});

test('a form that is refused for its own slip is told of the other’s entry all the same when it is mended', async () => {
  const shop = await atDeadTests();
  const per = await colleague(shop);
  const id = first;
  const mine = await readingForm(shop, shop.fitter, id, { ohms: 'abc' });
  const theirs = await readingForm(shop, per, id, { ohms: '0.05' });
  await per.postRaw(theirs.url, theirs.form);
  const slip = await shop.fitter.postRaw(mine.url, mine.form);
  expect(slip.statusCode).toBe(422);
  const mended = { ...formOn(slip.body, mine.url), ohms: '0.06' };
  expect((await shop.fitter.postRaw(mine.url, mended)).statusCode).toBe(409);
});

test('a whole circuit sent over another’s change undoes nothing: what was left alone follows them, what is typed stays, and the difference is said', async () => {
  const shop = await playedShop((job) => job.log.steps.size === 2);
  const per = await colleague(shop);
  const url = `/jobs/${shop.number}/circuit`;
  const open = async (browser: Browser): Promise<Record<string, string>> => ({
    ...formOn((await browser.get(url)).body, url),
    act: 'save',
  });
  const [mine, theirs] = [await open(shop.fitter), await open(per)];
  const place = mine['run.1.place'] as string;
  const changed = {
    ...theirs,
    'cord.lengthM': '50',
    'run.1.place': 'the long bench',
    reason: 'a longer cord',
  };
  expect((await per.postRaw(url, changed)).statusCode).toBe(303);

  // One of the small buttons in between does not make the form look newer than it is.
  const added = await shop.fitter.postRaw(url, { ...mine, act: 'add-load:1' });
  expect(formOn(added.body, url)._seen).toBe(mine._seen);
  const wish = { ...mine, 'run.0.place': 'the short bench', 'run.1.place': 'the far bench', reason: 'moved' };
  const refused = await shop.fitter.postRaw(url, wish);
  expect(refused.statusCode).toBe(409);
  expect(words(meanwhile(refused.body))).toContain(`place: ${place} → the long bench`);
  expect(words(meanwhile(refused.body))).toContain('a longer cord');
  const back = formOn(refused.body, url);
  expect([back['cord.lengthM'], back['run.0.place'], back['run.1.place'], back.reason]).toEqual([
    '50',
    'the short bench',
    'the far bench',
    'moved',
  ]);
  const still = words(/<section class="card" id="still">[\s\S]*?<\/section>/.exec(refused.body)?.[0] ?? '');
  expect(still).toContain('outlet 2 · place: the long bench → the far bench');
  expect(still).not.toContain('cord');
  expect((await shop.fitter.postRaw(url, { ...back, act: 'save' })).statusCode).toBe(303);
  const { circuit } = shop.job();
  expect(circuit.cord.lengthM).toBeCloseTo(15.24, 6);
  expect(circuit.run.map((o) => o.place).slice(0, 2)).toEqual(['the short bench', 'the far bench']);
});

test('an outlet that another added stays when an older form of the circuit is sent', async () => {
  const shop = await playedShop((job) => job.log.steps.size === 2);
  const per = await colleague(shop);
  const url = `/jobs/${shop.number}/circuit`;
  const mine = formOn((await shop.fitter.get(url)).body, url);
  const opened = formOn((await per.get(url)).body, url);
  const added = formOn((await per.postRaw(url, { ...opened, act: 'add-outlet' })).body, url);
  const last = shop.job().circuit.run.length;
  const theirs = { ...added, [`run.${last}.place`]: 'the rear door', [`run.${last}.feed.lengthM`]: '6' };
  expect((await per.postRaw(url, { ...theirs, act: 'save', reason: 'one more' })).statusCode).toBe(303);
  const swapped = formOn((await shop.fitter.postRaw(url, { ...mine, act: 'down:1' })).body, url);
  const refused = await shop.fitter.postRaw(url, { ...swapped, act: 'save', reason: 'the other way round' });
  expect(refused.statusCode).toBe(409);
  const back = formOn(refused.body, url);
  expect((await shop.fitter.postRaw(url, { ...back, act: 'save' })).statusCode).toBe(303);
  expect(shop.job().circuit.run.map((o) => o.id)).toEqual([
    mine['run.0.id'],
    mine['run.2.id'],
    added[`run.${last}.id`],
    mine['run.1.id'],
  ]);
});

test('a record is not signed over an entry that its signer has not seen', async () => {
  const shop = await playedShop();
  const per = await colleague(shop);
  const page = `/jobs/${shop.number}/record`;
  const signed = { 'signature.name': 'Ines Okafor', 'signature.strokes': '', passphrase };
  const form = { ...formOn((await shop.fitter.get(page)).body, page), ...signed };
  const taken = await readingForm(shop, per, first, { ohms: '0.04' });
  expect((await per.postRaw(taken.url, taken.form)).statusCode).toBe(303);
  const refused = await shop.fitter.postRaw(page, form);
  expect(refused.statusCode).toBe(409);
  expect(words(meanwhile(refused.body))).toContain('Per Lindqvist');
  expect(shop.job().log.issued).toHaveLength(0);
});

test('a job is not closed over a failing reading that whoever closes it has not seen', async () => {
  const shop = await playedShop();
  const per = await colleague(shop);
  const page = `/jobs/${shop.number}`;
  const rest = formOn((await shop.fitter.get(page)).body, `${page}/rest`);
  const form = { ...rest, reason: 'handed over' };
  const taken = await readingForm(shop, per, first, { ohms: '5' });
  expect((await per.postRaw(taken.url, taken.form)).statusCode).toBe(303);
  const refused = await shop.fitter.postRaw(`${page}/closure`, form);
  expect(refused.statusCode).toBe(409);
  expect(words(meanwhile(refused.body))).toMatch(/Per Lindqvist .* reading taken, G1 .* Shown 5 Ω/);
  expect(shop.job().log.standing).toBe('open');
  const back = formOn(refused.body, `${page}/rest`);
  expect(back.reason).toBe('handed over');
  expect((await shop.fitter.postRaw(`${page}/closure`, back)).statusCode).toBe(303);
});

test('many who write at once, in whatever order, lose nothing: each entry is there once, and the chain is whole', async () => {
  const shop = await atDeadTests();
  const people = ['per', 'ada', 'noor', 'sef'];
  const browsers = [shop.fitter];
  for (const name of people) {
    addPerson(shop, name, `${name} of the shop`, ['fitter']);
    const browser = new Browser(shop.app, `192.0.2.${20 + browsers.length}`);
    await browser.signIn(name);
    browsers.push(browser);
  }
  let round = 0;
  const oneStep = async (browser: Browser, write: Write): Promise<void> => {
    if (write.form === undefined) {
      write.form = (await readingForm(shop, browser, write.id, { ohms: '0.05', note: write.note })).form;
      return;
    }
    const url = `/jobs/${shop.number}/readings/${write.id}`;
    const reply = await browser.postRaw(url, write.form);
    if (reply.statusCode === 303) write.done = true;
    else {
      expect(reply.statusCode).toBe(409);
      write.form = formOn(reply.body, url);
      expect(write.form.note).toBe(write.note);
    }
  };
  const bound = async (writes: readonly Write[], before: number) => {
    const notes = shop.entries().slice(before);
    expect(notes.map((e) => ('note' in e.body ? e.body.note : '')).sort()).toEqual(
      writes.map((w) => w.note).sort(),
    );
    expect(chainFault(shop.entries())).toBeUndefined();
  };
  const made = (who: number, what: number, k: number): Write => ({
    who,
    id: ids[what] as string,
    note: `round ${round}, write ${k}`,
    form: undefined,
    done: false,
  });
  const wish = fc.tuple(fc.nat(browsers.length - 1), fc.nat(ids.length - 1));
  await fc.assert(
    fc.asyncProperty(
      fc.array(wish, { minLength: 2, maxLength: 6 }),
      fc.infiniteStream(fc.nat(100)),
      async (wishes, turns) => {
        round += 1;
        const before = shop.entries().length;
        const writes = wishes.map(([who, what], k) => made(who, what, k));
        for (let open = writes; open.length > 0; open = open.filter((w) => !w.done)) {
          const write = open[(turns.next().value as number) % open.length] as Write;
          await oneStep(browsers[write.who] as Browser, write);
        }
        await bound(writes, before);
      },
    ),
    { numRuns: 10 },
  );
  round += 1;
  const before = shop.entries().length;
  const writes = browsers.map((_, who) => made(who, 0, who));
  await Promise.all(
    writes.map(async (write) => {
      while (!write.done) await oneStep(browsers[write.who] as Browser, write);
    }),
  );
  await bound(writes, before);
});

interface Write {
  readonly who: number;
  readonly id: string;
  readonly note: string;
  form: Record<string, string> | undefined;
  done: boolean;
}

test('a form that waited on a phone and comes after another’s entry is refused in words that say who wrote what', async () => {
  const shop = await atDeadTests();
  const per = await colleague(shop);
  const mine = await readingForm(shop, shop.fitter, first, { ohms: '0.07' });
  const theirs = await readingForm(shop, per, first, { ohms: '0.05' });
  shop.clock.move(60_000);
  expect((await per.postRaw(theirs.url, theirs.form)).statusCode).toBe(303);
  shop.clock.move(60_000);
  const waited = { ...mine.form, _waited: '120000' };
  const refused = await shop.fitter.postRaw(mine.url, waited, { accept: 'application/json' });
  expect([refused.statusCode, refused.json().problems]).toEqual([
    409,
    [
      expect.stringMatching(
        /^Per Lindqvist wrote meanwhile \(.* UTC\): reading taken, G1 .*Shown 0\.05 Ω.*send yours again\.$/,
      ),
    ],
  ]);
});
