import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { addPhotos, takeSoundReading, writeDown } from '../journeys/careful-fitter.js';
import { openChromium } from '../journeys/chromium.js';
import { atADesk, byKeyboard, byThumb, type Hands } from '../journeys/hands.js';
import { shopWithJobs } from '../journeys/shop-at-every-stage.js';
import { mendSheet, typeCircuit } from '../journeys/typed-circuit.js';
import { passphrase } from '../web/shop-under-test.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

/** A person with their browser, who reaches everything by these hands alone once the first page is open. */
class Person {
  constructor(
    readonly page: Page,
    readonly hands: Hands,
  ) {}

  at(selector: string) {
    return this.page.locator(selector).first();
  }
  press(selector: string) {
    return this.hands.press(this.page, this.at(selector));
  }
  type(selector: string, text: string) {
    return this.hands.type(this.page, this.at(selector), text);
  }
  tick(selector: string) {
    return this.hands.tick(this.page, this.at(selector));
  }
  title() {
    return this.page.textContent('h1');
  }

  async signIn(site: string, name: string) {
    await this.page.goto(`${site}/sign-in`);
    await this.type('[name=signIn]', name);
    await this.type('[name=passphrase]', passphrase);
    await this.press('main button.go');
    expect(await this.title()).toBe('Jobs');
  }

  /** From anywhere in the shop to the page of a job, by the list of jobs. */
  async openJob(number: string) {
    await this.press('.top nav a[href="/"]');
    await this.press(`h2 a[href="/jobs/${number}"]`);
  }
}

async function sitDown(hands: Hands, options: BrowserContextOptions): Promise<Person> {
  const context = await browser.newContext({ ...options, reducedMotion: 'reduce' });
  onTestFinished(() => context.close());
  return new Person(await context.newPage(), hands);
}

/** A job from its first word to the first step that is written down. */
async function beginJob(fitter: Person): Promise<void> {
  const { page, hands } = fitter;
  await fitter.press('main a.go[href="/jobs/new"]');
  await fitter.type('[name="vehicle.description"]', 'Marginalia, a travelling book-repair workshop');
  await fitter.tick('[name=use][value=work-van]');
  await fitter.type('[name=owner]', 'Odile Brandt');
  await fitter.type('[name=place]', 'Thimble Lane, bay 2');
  await hands.choose(page, fitter.at('[name=checker]'), 'Tam Whitlock');
  await fitter.press('main button.go');
  await typeCircuit(page, hands);
  await mendSheet(page, hands);
  expect(await page.textContent('main')).toContain('nothing on the sheet holds the cutting');
  await fitter.press('.notice a.go');
  await writeDown(page, hands);
  expect(await page.textContent('.said')).toContain('written down');
}

/** The defect that stopped a job: what was found and done, then all that the mend opened again. */
async function mendDefect(fitter: Person, closed: () => boolean): Promise<void> {
  await fitter.press('.next a.go');
  await fitter.type('#mend [name=found]', 'Ground of the feed not in the splice of outlet 2.');
  await fitter.type('#mend [name=done]', 'Landed it, torqued, tugged.');
  await fitter.tick('[name=disturbs][value=conductor-relanded]');
  await fitter.hands.tick(fitter.page, fitter.page.locator('[name="disturbs.outlet"]').nth(1));
  await fitter.press('#mend button.go');
  await workUntil(fitter, async () => closed());
}

/** Does whatever the page offers next. */
async function workUntil(fitter: Person, isDone: () => Promise<boolean>): Promise<void> {
  const { page, hands } = fitter;
  const there = async (selector: string) => (await page.locator(selector).count()) > 0;
  const toTake =
    '#readings .reading:has(.word-missing, .word-reopened, .word-fail):not(:has-text("(if it applies)")) a';
  for (let k = 0; k < 60; k += 1) {
    if (await isDone()) return;
    // One that has something to say stays on its own page.
    if (await there('#verdict.verdict-pass, #verdict.verdict-noted')) await fitter.press('.back a');
    else if (await there('#entry')) await takeSoundReading(page, hands);
    else if (await there(toTake)) await fitter.press(toTake);
    else if (await there('#write form')) {
      await addPhotos(page, hands);
      await writeDown(page, hands);
    } else if (await there('main a.button.go')) await fitter.press('main a.button.go');
    else await fitter.press('.back a');
  }
  throw new Error(`the work does not come to its end, and stands at ${page.url()}`);
}

async function sign(person: Person, name: string, button: string): Promise<void> {
  await person.hands.sign(person.page, name);
  await person.type('[name=passphrase]', passphrase);
  await person.press(button);
}

const desk = { viewport: { width: 1280, height: 800 } };
const phone = { viewport: { width: 320, height: 568 }, hasTouch: true, isMobile: true };

test.each<[string, Hands, BrowserContextOptions]>([
  ['by keyboard alone, with the focus in sight at every stop', byKeyboard, desk],
  ['by touch alone at 320 × 568 px', byThumb, phone],
  ['without scripts', atADesk, { ...desk, javaScriptEnabled: false }],
])(
  '%s a job is made, a defect is mended, and a record is issued and handed over',
  async (_, hands, options) => {
    const { shop, jobs } = await shopWithJobs([
      ({ kind }) => kind === 'defect raised',
      ({ subject }) => subject === 'reading:dead-when-tripped.press',
    ]);
    const [stopped, nearlyDone] = jobs as [(typeof jobs)[number], (typeof jobs)[number]];
    const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
    const fitter = await sitDown(hands, options);
    await fitter.signIn(site, 'ines');
    await beginJob(fitter);

    await fitter.openJob(stopped.number);
    await mendDefect(fitter, () => stopped.job().defects[0]?.status === 'closed');

    await fitter.openJob(nearlyDone.number);
    await workUntil(
      fitter,
      async () => (await fitter.page.locator('.next h2:text("The second look")').count()) > 0,
    );
    const checker = await sitDown(hands, options);
    await checker.signIn(site, 'tam');
    await checker.openJob(nearlyDone.number);
    await checker.press('.next a.go');
    await sign(checker, 'Tam Whitlock', 'main button.go');

    await fitter.openJob(nearlyDone.number);
    await fitter.press('.next a.go');
    await sign(fitter, 'Ines Okafor', '#issue button.go');
    expect(shop.store.logbook.log(nearlyDone.number).issued).toHaveLength(1);
    expect(await fitter.page.textContent('main')).toContain('Revision 1');

    await fitter.press('button:text("Make a link")');
    const link = (await fitter.page.textContent('.address code')) ?? '';
    const owner = await sitDown(hands, options);
    await owner.page.goto(link);
    await owner.hands.sign(owner.page, 'Odile Brandt');
    await owner.press('#acknowledge button.go');
    expect(shop.store.logbook.log(nearlyDone.number).acknowledged).toHaveLength(1);
  },
);

test('the first stop of the keyboard is the link that leads past the navigation', async () => {
  const { shop } = await shopWithJobs([]);
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const page = await browser.newPage();
  onTestFinished(() => page.close());
  await page.goto(`${site}/sign-in`);
  await page.goto(`${site}/verify`);
  await page.keyboard.press('Tab');
  expect(await page.locator(':focus').textContent()).toBe('Skip to the page');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  expect(await page.locator(':focus').getAttribute('name')).toBe('record');
});
