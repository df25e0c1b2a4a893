import type { Page, Response } from 'playwright-core';

/** What loading a page costs and whether it moves while it comes. */
export interface Loading {
  /** The sum of its layout shifts, as Chromium counts them: 0 where nothing moves. */
  readonly shift: number;
  /** Bytes of its stylesheets and of its scripts, packed as they went over the wire. */
  readonly style: number;
  readonly script: number;
}

/** Watches every page that is opened from now on; the answer tells of the last one. */
export async function watchLoading(page: Page): Promise<() => Promise<Loading>> {
  let seen: Response[] = [];
  page.on('request', (request) => {
    if (request.isNavigationRequest()) seen = [];
  });
  page.on('response', (response) => seen.push(response));
  await page.addInitScript(`
    window.shifted = 0;
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shifted += entry.value;
    }).observe({ type: 'layout-shift', buffered: true });`);
  // A kept file comes from the browser's own store and tells no size: every page is asked for as if it were the first.
  const session = await page.context().newCDPSession(page);
  await session.send('Network.setCacheDisabled', { cacheDisabled: true });
  const bytes = async (type: RegExp) => {
    const files = seen.filter((response) => type.test(response.headers()['content-type'] ?? ''));
    const sizes = await Promise.all(files.map((file) => file.request().sizes()));
    return sizes.reduce((sum, { responseBodySize }) => sum + responseBodySize, 0);
  };
  return async () => ({
    shift: await page.evaluate<number>('window.shifted'),
    style: await bytes(/^text\/css/),
    script: await bytes(/^text\/javascript/),
  });
}
