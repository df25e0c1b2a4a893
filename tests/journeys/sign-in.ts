import type { Page } from 'playwright-core';
import { passphrase } from '../web/shop-under-test.js';

/** Signs a person in on a page of a browser, and waits for the list of jobs. */
export async function signIn(page: Page, site: string, name: string): Promise<void> {
  await page.goto(`${site}/sign-in`);
  await page.fill('#f-signIn', name);
  await page.fill('#f-passphrase', passphrase);
  await page.click('button.go');
  await page.waitForURL(`${site}/`);
}

/** Signs out by the button on the page of whoever is signed in. */
export async function signOut(page: Page, site: string): Promise<void> {
  await page.goto(`${site}/account`);
  await page.click('form[action="/sign-out"] button');
}
