import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';

const geometry = inPage('geometry');

/** A script that is run in a page, whose types are none of this project's. */
export function inPage(name: string): string {
  return readFileSync(new URL(`in-page/${name}.js`, import.meta.url), 'utf8');
}

/**
 * What is wrong with where things stand on a page that is open, each as a sentence: a target under 44 px or nearer than
 * 8 px to another, words that are cut, lie over one another or outside the window, figures of a list out of line, a page wider
 * than its window.
 * A link in a line of words is as high as its line, as WCAG 2.2 lets it be (2.5.8, the inline exception).
 */
export function geometryFaults(page: Page): Promise<string[]> {
  return page.evaluate<string[]>(geometry);
}
