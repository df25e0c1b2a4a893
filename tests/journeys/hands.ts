import type { Locator, Page } from 'playwright-core';
import { inPage } from './page-geometry.js';

/** How a person reaches what a page offers: the same job is done with each of them. */
export interface Hands {
  /** Presses a button or a link, and waits for the page that answers. */
  press(page: Page, what: Locator): Promise<void>;
  type(page: Page, into: Locator, text: string): Promise<void>;
  /** Unfolds what is folded away. */
  unfold(page: Page, summary: Locator): Promise<void>;
  /** Ticks a box, or takes one of several. */
  tick(page: Page, what: Locator): Promise<void>;
  /** Takes what a list calls so, by its value. */
  choose(page: Page, from: Locator, value: string): Promise<void>;
  /** Gives a file where one is asked for. */
  give(page: Page, to: Locator, file: { name: string; mimeType: string; buffer: Buffer }): Promise<void>;
  /** Signs where the page asks for it: in the box where there is one and these hands can draw, else by the name alone. */
  sign(page: Page, name: string): Promise<void>;
}

const answers = (page: Page) => page.waitForEvent('domcontentloaded');
const signatureName = (page: Page) => page.locator('[name="signature.name"]').first();

/** Mouse and keyboard as at a desk. */
export const atADesk: Hands = {
  async press(page, what) {
    await Promise.all([answers(page), what.click()]);
  },
  type: (_, into, text) => into.fill(text),
  unfold: (_, summary) => summary.click(),
  tick: (_, what) => what.check(),
  async choose(_, from, value) {
    await from.selectOption(value);
  },
  give: (_, to, file) => to.setInputFiles(file),
  sign: (page, name) => signatureName(page).fill(name),
};

/** A thumb on glass: everything is tapped, and a tap that meets something else than its target throws. */
export const byThumb: Hands = {
  ...atADesk,
  async press(page, what) {
    await Promise.all([answers(page), what.tap()]);
  },
  async type(_, into, text) {
    await into.tap();
    await into.fill(text);
  },
  unfold: (_, summary) => summary.tap(),
  async tick(_, what) {
    if (!(await what.isChecked())) await what.tap();
  },
  async give(page, to, file) {
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), to.tap()]);
    await chooser.setFiles(file);
  },
  async sign(page, name) {
    await byThumb.type(page, signatureName(page), name);
    const pad = page.locator('canvas.signature-pad').first();
    await pad.scrollIntoViewIfNeeded();
    const box = await pad.boundingBox();
    if (box === null) throw new Error(`${page.url()} has no box to sign in`);
    const glass = await page.context().newCDPSession(page);
    // A finger that comes to rest before it is lifted: one that is flicked away is still scrolling when the next tap comes.
    const begun = Date.now() / 1000 - 3;
    const touch = (type: 'touchStart' | 'touchMove', k: number) =>
      glass.send('Input.dispatchTouchEvent', {
        type,
        timestamp: begun + k / 20,
        touchPoints: [
          { x: box.x + box.width * (0.1 + 0.06 * k), y: box.y + box.height * (0.5 + 0.25 * Math.sin(k)) },
        ],
      });
    await touch('touchStart', 0);
    for (let k = 1; k <= 12; k += 1) await touch('touchMove', k);
    await glass.send('Input.dispatchTouchEvent', { type: 'touchEnd', timestamp: begun + 2, touchPoints: [] });
    await glass.detach();
  },
};

/**
 * The keyboard alone: Tab and Shift+Tab to where something stands, then Enter, Space, arrows and letters. Every stop on
 * the way is looked at: a focus that does not show, jumps about or does not move throws.
 */
export const byKeyboard: Hands = {
  async press(page, what) {
    await reach(page, what);
    await Promise.all([answers(page), page.keyboard.press('Enter')]);
  },
  async type(page, into, text) {
    await reach(page, into);
    await page.keyboard.press('ControlOrMeta+A');
    if (text === '') await page.keyboard.press('Delete');
    else await page.keyboard.insertText(text);
  },
  async unfold(page, summary) {
    await reach(page, summary);
    await page.keyboard.press('Enter');
  },
  async tick(page, what) {
    await reach(page, what);
    const isThere = () => what.evaluate((element) => element === element.ownerDocument.activeElement);
    // One of several is come to by the arrows of its group, which take it at once.
    for (let k = 0; k < 30 && !(await isThere()); k += 1) await page.keyboard.press('ArrowDown');
    if (!(await what.isChecked())) await page.keyboard.press('Space');
  },
  async choose(page, from, value) {
    await reach(page, from);
    const [now, wanted] = await from.evaluate((select, sought) => {
      const list = select as unknown as { selectedIndex: number; options: Iterable<{ value: string }> };
      return [list.selectedIndex, [...list.options].findIndex((o) => o.value === sought)] as const;
    }, value);
    for (let k = now; k !== wanted; k += Math.sign(wanted - now))
      await page.keyboard.press(k < wanted ? 'ArrowDown' : 'ArrowUp');
    const chosen = await from.inputValue();
    if (chosen !== value) throw new Error(`${value} cannot be chosen by arrows: ${chosen}`);
  },
  async give(page, to, file) {
    // Heard from here on: the key may be quicker than the browser learns that somebody waits.
    page.on('filechooser', () => undefined);
    await reach(page, to);
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.keyboard.press('Enter')]);
    await chooser.setFiles(file);
  },
  async sign(page, name) {
    await byKeyboard.type(page, signatureName(page), name);
  },
};

interface Stop {
  readonly name: string;
  /** How many stops of the keyboard it is by itself. */
  readonly parts: number;
  readonly there: boolean;
  /** Where the focus stands in the page's own order, and where what is sought stands. */
  readonly at: number;
  readonly wanted: number;
  readonly fault: string;
}
const focus = inPage('focus');
const frame = 'new Promise((next) => requestAnimationFrame(() => requestAnimationFrame(next)))';

/** Tabs to an element, or back to it. One of several round buttons is reached by the arrows of its group. */
async function reach(page: Page, what: Locator): Promise<void> {
  await what.evaluate((element) => element.setAttribute('data-wanted', ''));
  let stop = await page.evaluate<Stop>(focus);
  let stayed = 0;
  for (let k = 0; !stop.there; k += 1) {
    const before = stop;
    if (k > 400)
      throw new Error(`${page.url()}: the keyboard does not come to it, and stands at ${stop.name}`);
    const key = stop.at < 0 || stop.at < stop.wanted ? 'Tab' : 'Shift+Tab';
    await page.keyboard.press(key);
    stop = await page.evaluate<Stop>(focus);
    // A page follows the focus with its next frame.
    if (stop.fault !== '') {
      await page.evaluate(frame);
      stop = await page.evaluate<Stop>(focus);
    }
    if (stop.fault !== '') throw new Error(`${page.url()}: ${stop.name} ${stop.fault}`);
    stayed = stop.at === before.at ? stayed + 1 : 0;
    if (stayed >= stop.parts) throw new Error(`${page.url()}: the focus is caught at ${stop.name}`);
    if (key === 'Tab' ? stop.at < before.at : stop.at > before.at)
      throw new Error(`${page.url()}: ${key} jumps from ${before.name} to ${stop.name}`);
  }
  await what.evaluate((element) => element.removeAttribute('data-wanted'));
}
