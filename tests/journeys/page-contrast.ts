import type { Page } from 'playwright-core';
import { inPage } from './page-geometry.js';

const colours = inPage('colours');
const contrast = colours + inPage('contrast');
const focusRing = colours + inPage('focus-ring');

/**
 * Every text of an open page that stands under 7:1 on its ground, and every stop of the keyboard whose ring stands under
 * 3:1 against what is beside it or does not show, by day and by lamplight, as the browser draws them.
 */
export async function contrastFaults(page: Page): Promise<string[]> {
  const found: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    for (const judged of [contrast, focusRing])
      found.push(...(await page.evaluate<string[]>(judged)).map((fault) => `${fault} (${colorScheme})`));
  }
  await page.emulateMedia({ colorScheme: null });
  return found;
}
