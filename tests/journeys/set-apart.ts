import type { Page } from 'playwright-core';

/** Sets all text of an open page apart as WCAG 2.2 has it in 1.4.12; the page's context must let styles in (`bypassCSP`). */
export async function setApart(page: Page): Promise<void> {
  await page.addStyleTag({
    content: `* {
      line-height: 1.5 !important;
      letter-spacing: 0.12em !important;
      word-spacing: 0.16em !important;
    }
    p { margin-bottom: 2em !important; }`,
  });
}
