import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { assetAddress } from '../../../src/web/page/assets.js';
import { Browser, shopUnderTest } from '../shop-under-test.js';

test('the stylesheet with its face is kept for good under the address of what it holds, and asked for anew under any other', async () => {
  const { app } = await shopUnderTest();
  const get = (url: string, headers = {}) => app.inject({ url, headers });
  const kept = await get(assetAddress('inlet.css'));
  expect(kept.headers['cache-control']).toBe('public, max-age=31536000, immutable');
  for (const url of ['/assets/inlet.css', '/assets/inlet.css?v=000000000000']) {
    const asked = await get(url);
    expect([url, asked.headers['cache-control']]).toEqual([url, 'no-cache']);
    expect((await get(url, { 'if-none-match': asked.headers.etag })).statusCode).toBe(304);
  }
  const fonts = [...kept.body.matchAll(/url\((\/assets\/[^)]+)\)/g)].map((m) => m[1] as string);
  expect(fonts.length).toBeGreaterThanOrEqual(28);
  for (const url of fonts) {
    const font = await get(url);
    expect([url, font.statusCode, font.headers['content-type'], font.headers['cache-control']]).toEqual([
      url,
      200,
      'font/woff2',
      'public, max-age=31536000, immutable',
    ]);
  }
});

test.each([
  ['br', brotliDecompressSync],
  ['gzip', gunzipSync],
] as const)('what is packed as %s is what goes out plain', async (encoding, unpack) => {
  const { app } = await shopUnderTest();
  const url = assetAddress('draft.js');
  const packed = await app.inject({ url, headers: { 'accept-encoding': `zstd, ${encoding}` } });
  expect(packed.headers['content-encoding']).toBe(encoding);
  expect(unpack(packed.rawPayload)).toEqual((await app.inject({ url })).rawPayload);
});

test('a page asks for no more than 30 KB of style and 15 KB of script, packed', async () => {
  const { app } = await shopUnderTest();
  const { body } = await new Browser(app).get('/sign-in');
  const sizeOf = async (pattern: RegExp) => {
    const addresses = [...body.matchAll(pattern)].map((m) => m[1] as string);
    expect(addresses.length).toBeGreaterThan(0);
    const sizes = addresses.map(
      async (url) => (await app.inject({ url, headers: { 'accept-encoding': 'gzip' } })).rawPayload.length,
    );
    return (await Promise.all(sizes)).reduce((a, b) => a + b, 0);
  };
  expect(await sizeOf(/rel="stylesheet" href="([^"]+)"/g)).toBeLessThan(30_000);
  expect(await sizeOf(/<script src="([^"]+)"/g)).toBeLessThan(15_000);
});
