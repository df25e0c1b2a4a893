import { mkdirSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { openChromium } from '../journeys/chromium.js';
import { visit } from '../journeys/every-page.js';
import { shopAtEveryStage } from '../journeys/shop-at-every-stage.js';
import { filesIn, runTool } from '../record/outside-tool.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

const kept = new URL('../../.test-output/pictures/paper/', import.meta.url).pathname;
/** What leads elsewhere or is pressed. */
const pressed =
  /Sign out|Write it down|Skip to the page|Add them up|Tap what would be on|I was shown how to use it|Download|All readings/;

test('a step, the sheet, the owner’s page and the glossary are printed whole, by day, with nothing to press', async () => {
  const { shop, fitter, defect, held, link } = await shopAtEveryStage();
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const context = await browser.newContext({ viewport: { width: 390, height: 780 }, colorScheme: 'dark' });
  onTestFinished(() => context.close());
  const page = await context.newPage();
  const { cookie } = fitter;
  const ground = `/jobs/${defect.number}/steps/ground-path`;
  for (const [name, path, most] of [
    ['step', ground, 2],
    ['sheet', `/jobs/${held.number}/sheet`, 7],
    ['owner', link, 4],
    ['glossary', '/glossary', 7],
  ] as const) {
    await visit(page, { name, site, path, cookie });
    const pdf = filesIn({ pdf: await page.pdf({ format: 'A4' }) }).pdf;
    const text = runTool('pdftotext', ['-layout', pdf, '-']).text;
    expect([name, pressed.exec(text)?.[0]]).toEqual([name, undefined]);
    // Of two vans in one shop, which?
    const number = /^\/jobs\/([\w-]+)/.exec(path)?.[1] ?? '';
    expect([name, text.split('\n').slice(0, 6).join(' ')]).toEqual([name, expect.stringContaining(number)]);
    expect([name, await missing(page, text)]).toEqual([name, []]);
    expect([name, wordsBeyond(pdf)]).toEqual([name, []]);
    expect([name, await smallType(page)]).toEqual([name, []]);
    const pages = Number(/^Pages:\s+(\d+)$/m.exec(runTool('pdfinfo', [pdf]).text)?.[1]);
    expect([name, pages <= most]).toEqual([name, true]);
    console.log(`${name}: ${pages} pages`);
    mkdirSync(kept, { recursive: true });
    runTool('pdftoppm', ['-r', '60', '-png', pdf, `${kept}${name}`]);
    const first = runTool('pdftoppm', ['-r', '30', '-png', '-singlefile', pdf, pdf]);
    expect([name, first.code]).toEqual([name, 0]);
    const { channels } = await sharp(`${pdf}.png`).greyscale().stats();
    expect([name, (channels[0]?.mean ?? 0) > 215]).toEqual([name, true]);
  }
});

/** Words that stand on the page in print and not on the paper. */
async function missing(page: Page, printed: string): Promise<string[]> {
  await page.emulateMedia({ media: 'print' });
  // A drawing has another layout on a page as wide as the paper; it has tests of its own.
  await page
    .locator('main svg')
    .evaluateAll((all) => all.map((svg) => svg.setAttribute('visibility', 'hidden')));
  // biome-ignore lint/performance/useDomNodeTextContent: what is folded away or hidden is not on the page.
  const shown = (await page.locator('main').innerText()).split(/\s+/);
  await page.emulateMedia({ media: null });
  if (shown.length < 50) throw new Error('there is next to nothing on the page');
  const bare = (text: string) => text.normalize('NFKC').replace(/[^\p{L}\p{N}]/gu, '');
  const paper = bare(printed);
  return shown.filter((word) => !paper.includes(bare(word)));
}

/** Words under 9 pt (12 px) in print; a drawing’s have tests of their own. */
async function smallType(page: Page): Promise<string[]> {
  await page.emulateMedia({ media: 'print' });
  const small = await page.evaluate<string[]>(`[...document.querySelectorAll('body *:not(svg, svg *)')]
    .filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim() !== ''))
    .filter((e) => e.checkVisibility() && parseFloat(getComputedStyle(e).fontSize) < 12)
    .map((e) => e.outerHTML.slice(0, 90))`);
  await page.emulateMedia({ media: null });
  return small;
}

/** Words whose box goes beyond the paper's margin of 14 mm, or beyond its foot. */
function wordsBeyond(pdf: string): string[] {
  const { text } = runTool('pdftotext', ['-bbox', pdf, '-']);
  const words = [
    ...text.matchAll(/<word xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)<\/word>/g),
  ];
  if (words.length === 0) throw new Error('there is nothing on the paper');
  const [left, right, foot] = [28, 595 - 28, 842 - 28];
  return words
    .filter(([, from, to, down]) => Number(from) < left || Number(to) > right || Number(down) > foot)
    .map((word) => word[4] as string);
}
