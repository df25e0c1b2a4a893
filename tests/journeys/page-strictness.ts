import type { Page } from 'playwright-core';
import { inPage } from './page-geometry.js';

const inline = inPage('inline');

/** What a page may name in its policy: itself, nothing, and a picture that was chosen on this phone. */
const sources = new Set(["'self'", "'none'", 'blob:']);
/** Directives without which something could come in or go out. */
const needed = ["default-src 'none'", "form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'"];

/**
 * Watches every page that is opened from now on. The answer tells of the last one: what it asked of anybody but its own
 * server, where its policy is not strict, and what it holds of script or style in its own text.
 */
export async function watchStrictness(page: Page): Promise<() => Promise<string[]>> {
  let asked: string[] = [];
  let policy = '';
  page.on('request', (request) => {
    if (request.isNavigationRequest()) asked = [];
    asked.push(request.url());
  });
  page.on('response', (response) => {
    if (response.request().isNavigationRequest())
      policy = response.headers()['content-security-policy'] ?? '';
  });
  await page.addInitScript(`
    window.refused = [];
    addEventListener('securitypolicyviolation', (event) => {
      window.refused.push(event.effectiveDirective + ' refuses ' + event.blockedURI);
    });`);
  return async () => {
    const { origin } = new URL(page.url());
    if (asked.length < 2) throw new Error(`${page.url()}: not even its stylesheet was seen to be asked for`);
    return [
      ...asked
        .filter((url) => !/^(blob|data):/.test(url) && new URL(url).origin !== origin)
        .map((url) => `asks ${url}`),
      ...policyFaults(policy),
      ...(await page.evaluate<string[]>('window.refused')),
      ...(await page.evaluate<string[]>(inline)),
    ];
  };
}

function policyFaults(policy: string): string[] {
  const directives = policy.split(';').map((directive) => directive.trim());
  return [
    ...needed.filter((directive) => !directives.includes(directive)).map((d) => `its policy lacks ${d}`),
    ...directives
      .filter((directive) =>
        directive
          .split(/\s+/)
          .slice(1)
          .some((source) => !sources.has(source)),
      )
      .map((directive) => `its policy lets in ${directive}`),
  ];
}
