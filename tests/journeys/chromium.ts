import { type Browser, chromium, type Page } from 'playwright-core';

/** A real Chromium, the system's own. Throws, saying so, where it is not installed. */
export function openChromium(more: readonly string[] = []): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      // Nothing here goes back to a page that was left, and no picture needs a process of its own.
      '--disable-features=BackForwardCache',
      '--in-process-gpu',
      ...more,
    ],
  });
}

/** A phone's page of its own, with nothing of another person's on it; a fault in a script or a lost file is noted. */
export async function openPhone(
  browser: Browser,
  { scripts = true, width = 390 } = {},
): Promise<{ page: Page; faults: string[] }> {
  const context = await browser.newContext({
    viewport: { width, height: 780 },
    javaScriptEnabled: scripts,
    acceptDownloads: true,
    // A page that glides to every field would be waited for at every field.
    reducedMotion: 'reduce',
  });
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && !/status of 422/.test(message.text())) faults.push(message.text());
  });
  return { page, faults };
}
