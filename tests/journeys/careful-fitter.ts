import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { atADesk, type Hands } from './hands.js';

/** Presses the one button that goes on, and waits for the page that answers: a changed address alone is no page yet. */
export async function press(page: Page, selector: string): Promise<void> {
  await Promise.all([page.waitForEvent('domcontentloaded'), page.click(selector)]);
}

let picture: Promise<Buffer> | undefined;

/** A small photo, made for the occasion. */
export function somePhoto(): Promise<Buffer> {
  picture ??= sharp({ create: { width: 320, height: 240, channels: 3, background: '#8a7f6d' } })
    .jpeg()
    .toBuffer();
  return picture;
}

/** Does the step whose page is open: its readings, its photos, then what it asks, as the page says it should be. */
export async function doStep(page: Page, read: (page: Page) => Promise<void>): Promise<void> {
  // A step that was begun leads on to its next reading.
  if ((await page.$('#entry')) !== null) return read(page);
  const path = new URL(page.url()).pathname;
  const readings = await page.$$eval('#readings .reading', (lines) =>
    lines
      .filter((line) => !/\(if it applies\)/.test(line.textContent ?? ''))
      .filter((line) =>
        /to take|take again|fail|unproven/.test(line.querySelector('.word')?.textContent ?? ''),
      )
      .map((line) => line.querySelector('a')?.getAttribute('href') ?? ''),
  );
  for (const href of readings) {
    await page.goto(new URL(href, page.url()).href, { waitUntil: 'domcontentloaded' });
    // A mend opens earlier steps again: they come first, and the job's page leads there.
    if ((await page.$('#entry')) === null) return;
    await read(page);
  }
  if (readings.length > 0) await page.goto(new URL(path, page.url()).href, { waitUntil: 'domcontentloaded' });
  await addPhotos(page);
  await writeDown(page);
}

/** Gives a photo wherever the open step still asks for one. */
export async function addPhotos(page: Page, hands = atADesk): Promise<void> {
  for (;;) {
    const missing = await page.$$eval('#photos > .card', (cards) =>
      cards.findIndex(
        (card) => card.querySelector('img') === null && !/\(if it applies\)/.test(card.textContent ?? ''),
      ),
    );
    if (missing < 0) return;
    const card = page.locator('#photos > .card').nth(missing);
    const photo = { name: 'photo.jpg', mimeType: 'image/jpeg', buffer: await somePhoto() };
    await hands.give(page, card.locator('input[type=file]').first(), photo);
    await hands.press(page, card.locator('button:not(.default-act)'));
  }
}

interface Asked {
  readonly name: string;
  readonly type: string;
  readonly label: string;
  readonly expected: string;
  readonly hint: string;
}

/** Answers everything that the open step asks. An option that is refused with its reason is followed by the next. */
export async function writeDown(page: Page, hands = atADesk): Promise<void> {
  if ((await page.$('#write form')) === null) return;
  const send = () => hands.press(page, page.locator('#write button.go'));
  await answerAsks(page, new Map(), hands);
  await send();
  const tried = new Map<string, number>();
  for (let round = 0; round < 5 && (await page.$('.errors')) !== null; round += 1) {
    const wrong = await page.$$eval('#write fieldset.wrong input[type=radio]', (radios) => [
      ...new Set(radios.map((radio) => radio.getAttribute('name') ?? '')),
    ]);
    if (wrong.length === 0) {
      const said = await page.$$eval('.errors li', (lines) => lines.map((line) => line.textContent?.trim()));
      throw new Error(`${page.url()} would not be written down: ${said.join('; ')}`);
    }
    for (const name of wrong) {
      const next = (tried.get(name) ?? 0) + 1;
      tried.set(name, next);
      await hands.tick(page, page.locator(`#write input[type=radio][name="${name}"]`).nth(next));
    }
    await send();
  }
}

/** Fills the form without sending it; `options` names which option of a choice is taken, the first where it says nothing. */
export async function answerAsks(
  page: Page,
  options: ReadonlyMap<string, number>,
  hands = atADesk,
): Promise<void> {
  for (const ask of await asked(page)) {
    if (/\(if it applies\)/.test(ask.label)) continue;
    const at = page.locator(`#write [name="${ask.name}"]`);
    if (ask.type === 'checkbox') await hands.tick(page, at);
    else if (ask.type === 'radio') await hands.tick(page, at.nth(options.get(ask.name) ?? 0));
    else await hands.type(page, at, textFor(ask));
  }
}

async function asked(page: Page): Promise<Asked[]> {
  return page.$$eval('#write form input, #write form textarea', (controls) => {
    const seen = new Map<string, Asked>();
    for (const control of controls) {
      const name = control.getAttribute('name') ?? '';
      if (!name.startsWith('ask.') || /\.(unit|same)$/.test(name) || seen.has(name)) continue;
      const field = control.closest('.field');
      const said = (selector: string) => field?.querySelector(selector)?.textContent?.trim() ?? '';
      const figure = control.getAttribute('inputmode') === 'decimal';
      seen.set(name, {
        name,
        type:
          control.tagName === 'TEXTAREA' ? 'note' : figure ? 'figure' : (control.getAttribute('type') ?? ''),
        label: said('label, legend'),
        expected: said('.expected b'),
        hint: said('.hint'),
      });
    }
    return [...seen.values()];
  });
}

function textFor({ type, expected, hint }: Asked): string {
  if (type === 'note') return 'Looked at, and as it should be.';
  if (type !== 'figure') return 'Tam Whitlock';
  const figure = /-?\d+(\.\d+)?/.exec(expected)?.[0];
  if (figure !== undefined) return figure;
  const least = /at least (\d+(?:\.\d+)?)/.exec(hint)?.[1];
  const most = /at most (\d+(?:\.\d+)?)/.exec(hint)?.[1];
  if (least !== undefined) return String(Number((Number(least) * 1.1).toFixed(2)));
  return most === undefined ? '1' : String(Number((Number(most) * 0.5).toFixed(2)));
}

/** Takes the reading whose page is open and types what a sound circuit shows: the page itself says so before the probe touches. */
export async function takeSoundReading(page: Page, hands: Hands = atADesk): Promise<void> {
  const expected = (await page.textContent('.before dd b')) ?? '';
  const entry = (selector: string) => page.locator(`#entry ${selector}`);
  if ((await entry('[name=answer]').count()) > 0)
    await hands.tick(page, entry(`[name=answer][value="${expected.trim()}"]`));
  else if ((await entry('[name=lamps]').count()) > 0) {
    // What the page expects of the lamps, in the order in which it asks for them.
    for (const [k, lamp] of expected.split(', ').entries())
      if (lamp.endsWith(' on')) await hands.tick(page, entry('[name=lamps]').nth(k));
  } else if (/^OL/.test(expected.trim())) await hands.tick(page, entry('[name=over]'));
  else
    await hands.type(
      page,
      entry('[name=ohms], #entry [name=volts]'),
      /\d+(\.\d+)?/.exec(expected)?.[0] ?? '0',
    );
  const load = entry('[name=amps]');
  if ((await load.count()) > 0 && (await load.inputValue()) === '') await hands.type(page, load, '8');
  await hands.press(page, entry('button.go'));
  const refused = await page.$$eval('.errors li', (lines) => lines.map((line) => line.textContent?.trim()));
  if (refused.length > 0) throw new Error(`${page.url()}: ${refused.join('; ')}`);
  // A pass leads on to the next thing, which says it in one line; anything else to the reading's own page.
  const word =
    (await page.$('.said')) === null
      ? (await page.textContent('#verdict .verdict-word'))?.trim()
      : /, (\w+)\./.exec((await page.textContent('.said')) ?? '')?.[1];
  // Where no limit judges, what was taken is noted.
  if (word !== 'pass' && word !== 'noted')
    throw new Error(`${page.url()}: ${word}, where ${expected} was typed`);
}
