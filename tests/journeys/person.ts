import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { expect, onTestFinished } from 'vitest';
import { passphrase } from '../web/shop-under-test.js';
import { addPhotos, takeSoundReading, writeDown } from './careful-fitter.js';
import { atADesk, byKeyboard, byThumb, type Hands } from './hands.js';

const desk = { viewport: { width: 1280, height: 800 } };
const phone = { viewport: { width: 320, height: 568 }, hasTouch: true, isMobile: true };

/** The three ways in which the same job is done: how it is called, by which hands, in which window. */
export const ways: readonly (readonly [string, Hands, BrowserContextOptions])[] = [
  ['by keyboard alone, with the focus in sight at every stop', byKeyboard, desk],
  ['by touch alone at 320 × 568 px', byThumb, phone],
  ['without scripts', atADesk, { ...desk, javaScriptEnabled: false }],
];

/** A person with their browser, who reaches everything by these hands alone once the first page is open. */
export class Person {
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
  async there(selector: string): Promise<boolean> {
    return (await this.page.locator(selector).count()) > 0;
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

  /** From the list of jobs to the form of a new job's circuit. */
  async describeJob() {
    await this.press('main a.go[href="/jobs/new"]');
    await this.type('[name="vehicle.description"]', 'Marginalia, a travelling book-repair workshop');
    await this.tick('[name=use][value=work-van]');
    await this.type('[name=owner]', 'Odile Brandt');
    await this.type('[name=place]', 'Thimble Lane, bay 2');
    await this.hands.choose(this.page, this.at('[name=checker]'), 'Tam Whitlock');
    await this.press('main button.go');
  }

  /** The mend of a defect whose page is open: a conductor was landed anew at the outlet at this place of the run. */
  async mend(outlet: number) {
    await this.type('#mend [name=found]', `Ground of the feed not in the splice of outlet ${outlet}.`);
    await this.type('#mend [name=done]', 'Landed it, torqued, tugged.');
    await this.tick('[name=disturbs][value=conductor-relanded]');
    await this.hands.tick(this.page, this.page.locator('[name="disturbs.outlet"]').nth(outlet - 1));
    await this.press('#mend button.go');
  }

  /** Does whatever the page offers next; `instead` may do something else with a page, and then says so. */
  async workUntil(isDone: () => Promise<boolean>, instead = async () => false): Promise<void> {
    const { page, hands } = this;
    const toTake = '#readings .reading:has(.word-missing, .word-fail):not(:has-text("(if it applies)")) a';
    for (let k = 0; k < 250; k += 1) {
      if (await isDone()) return;
      if (await instead()) continue;
      // One that has something to say stays on its own page.
      if (await this.there('#verdict.verdict-pass, #verdict.verdict-noted')) await this.press('.back a');
      else if (await this.there('#entry')) await takeSoundReading(page, hands);
      else if (await this.there(toTake)) await this.press(toTake);
      else if (await this.there('#write form')) {
        await addPhotos(page, hands);
        await writeDown(page, hands);
      } else if (await this.there('main a.button.go')) await this.press('main a.button.go');
      else await this.press('.back a');
    }
    throw new Error(`the work does not come to its end, and stands at ${page.url()}`);
  }

  async sign(name: string, button: string): Promise<void> {
    await this.hands.sign(this.page, name);
    await this.type('[name=passphrase]', passphrase);
    await this.press(button);
  }

  /** The second look at a job, or its record: the next thing, which is signed. */
  async signNext(number: string, name: string, button: string): Promise<void> {
    await this.openJob(number);
    await this.press('.next a.go');
    await this.sign(name, button);
  }

  /** An owner's link to the record whose page is open. */
  async makeLink(): Promise<string> {
    await this.press('button:text("Make a link")');
    return (await this.page.textContent('.address code')) ?? '';
  }

  async acknowledge(link: string, name: string): Promise<void> {
    await this.page.goto(link);
    await this.hands.sign(this.page, name);
    await this.press('#acknowledge button.go');
  }
}

export async function sitDown(
  browser: Browser,
  hands: Hands,
  options: BrowserContextOptions,
): Promise<Person> {
  const context = await browser.newContext({ ...options, reducedMotion: 'reduce' });
  onTestFinished(() => context.close());
  return new Person(await context.newPage(), hands);
}
