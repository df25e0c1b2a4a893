import type { Page } from 'playwright-core';
import { somePhoto } from './careful-fitter.js';

/**
 * A person with one thumb: every touch counts as a tap, every page that comes as a page. A text field is one tap for the
 * touch that opens the keyboard, and each digit of a figure one more; a list is two, a photo two (the camera, its
 * shutter). The letters of words are not counted.
 */
export class Thumb {
  taps = 0;
  pages = 0;

  constructor(readonly page: Page) {
    page.on('domcontentloaded', () => {
      this.pages += 1;
    });
  }

  /** Begins to count anew. */
  begin(): void {
    this.taps = 0;
    this.pages = 0;
  }

  /** A link, a button, a tick or one of a short list, where no page follows. */
  async tap(selector: string, nth = 0): Promise<void> {
    this.taps += 1;
    await this.page.locator(selector).nth(nth).click();
  }

  /** A link or a button that another page follows. */
  async go(selector: string): Promise<void> {
    this.taps += 1;
    await Promise.all([
      this.page.waitForEvent('domcontentloaded'),
      this.page.locator(selector).first().click(),
    ]);
  }

  async type(selector: string, text: string): Promise<void> {
    this.taps += /^[\d.,]+$/.test(text) ? 1 + text.length : 1;
    await this.page.locator(selector).first().fill(text);
  }

  async choose(selector: string, value: string): Promise<void> {
    this.taps += 2;
    await this.page.selectOption(selector, value);
  }

  /** Takes a photo for the field. */
  async photograph(selector: string): Promise<void> {
    this.taps += 2;
    const photo = { name: 'photo.jpg', mimeType: 'image/jpeg', buffer: await somePhoto() };
    await this.page.locator(selector).first().setInputFiles(photo);
  }

  counted(): { taps: number; pages: number } {
    return { taps: this.taps, pages: this.pages };
  }
}
