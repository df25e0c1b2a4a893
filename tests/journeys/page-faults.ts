import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';

/** What axe finds wrong on a page. No page has frames, so it runs in the page itself, and keeps nothing of what is right. */
export async function axeFinds(
  page: Page,
  only: { tags?: readonly string[]; rules?: readonly string[] } = {},
) {
  const axe = new AxeBuilder({ page }).setLegacyMode(true).options({ resultTypes: ['violations'] });
  if (only.tags !== undefined) axe.withTags([...only.tags]);
  if (only.rules !== undefined) axe.withRules([...only.rules]);
  return (await axe.analyze()).violations;
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
