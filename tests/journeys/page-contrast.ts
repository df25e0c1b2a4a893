import type { Page } from 'playwright-core';
import { inPage } from './page-geometry.js';

const contrast = inPage('contrast');

/** Every text of an open page that stands under 7:1 on its ground, by day and by lamplight, as the browser draws it. */
export async function contrastFaults(page: Page): Promise<string[]> {
  const found: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    found.push(...(await page.evaluate<string[]>(contrast)).map((fault) => `${fault} (${colorScheme})`));
  }
  await page.emulateMedia({ colorScheme: null });
  return found;
}
