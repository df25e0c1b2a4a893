import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

// The axe that its own package for this browser brings along.
const ofAxe = createRequire(createRequire(import.meta.url).resolve('@axe-core/playwright'));
const axe = readFileSync(ofAxe.resolve('axe-core/axe.min.js'), 'utf8');

interface Finding {
  readonly id: string;
  readonly nodes: readonly { readonly html: string }[];
}

/**
 * What axe finds wrong on a page. No page has frames, so it runs in the page itself, is read in once however often the page
 * is looked at, and keeps nothing of what is right.
 */
export async function axeFinds(
  page: Page,
  only: { tags?: readonly string[]; rules?: readonly string[] } = {},
): Promise<readonly Finding[]> {
  const options = {
    resultTypes: ['violations'],
    ...(only.tags ? { runOnly: { type: 'tag', values: only.tags } } : {}),
    ...(only.rules ? { runOnly: { type: 'rule', values: only.rules } } : {}),
  };
  if (!(await page.evaluate('"axe" in window'))) await page.evaluate(axe);
  return page.evaluate<readonly Finding[]>(
    `axe.run(document, ${JSON.stringify(options)}).then(({ violations }) =>
      violations.map(({ id, nodes }) => ({ id, nodes: nodes.map(({ html }) => ({ html })) })))`,
  );
}

/** What a thumb must hit, but for what stands inside `sentence`, and is lower than 44 px; a field counts with its label. */
export async function smallTargets(page: Page, sentence: string): Promise<string[]> {
  // A busy machine may show a page first in another face, whose lines are of another height.
  await page.evaluate('document.fonts.ready.then(() => undefined)');
  return page.locator('a, button, input:not([type=hidden]), select, textarea, summary').evaluateAll(
    (elements, inside) =>
      elements
        .filter((e) => e.closest(inside) === null)
        .map((e) => ({
          box: (e.closest('label') ?? e).getBoundingClientRect(),
          html: e.outerHTML.slice(0, 90),
        }))
        .filter(({ box }) => box.height > 1 && box.height < 44)
        .map(({ box, html }) => `${html} is ${Math.round(box.height)} px high`),
    sentence,
  );
}

/** The width that the content of a page asks for. */
export function contentWidth(page: Page): Promise<number> {
  return page.locator('html').evaluate((e) => e.scrollWidth);
}
