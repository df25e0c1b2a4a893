import sharp from 'sharp';
import { expect, test } from 'vitest';
import { takePhoto } from '../../../src/store/take-photo.js';
import { blankPng, picture } from '../../store/make-picture.js';
import { Browser, here, shopUnderTest, toMend } from '../shop-under-test.js';

test('a photo is kept as an upright JPEG with nothing in it but the picture', async () => {
  const sent = await picture(400, 200)
    .jpeg()
    .withExif({
      IFD0: { Make: 'Somebody', Orientation: '6' },
      IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '51/1 30/1 0/1', GPSLongitude: '0/1 7/1 0/1' },
    })
    .withMetadata({ orientation: 6 })
    .toBuffer();
  expect((await sharp(sent).metadata()).exif).toBeDefined();
  const taken = await takePhoto(sent);
  if (!taken.ok) throw new Error(taken.issues[0]?.message);
  const kept = await sharp(taken.value.jpeg).metadata();
  expect(kept).toMatchObject({ format: 'jpeg', width: 200, height: 400, isProgressive: false });
  expect([kept.exif, kept.xmp, kept.iptc, kept.icc, kept.orientation]).toEqual([
    undefined,
    undefined,
    undefined,
    undefined,
    undefined,
  ]);
  expect(taken.value.jpeg.includes(Buffer.from('Exif'))).toBe(false);
  expect((await sharp(taken.value.thumb).metadata()).height).toBe(360);
});

test.each([
  ['PNG with a clear ground', () => picture(50, 40).ensureAlpha(0.5).png().toBuffer()],
  ['WebP', () => picture(50, 40).webp().toBuffer()],
  ['a moving GIF', () => picture(50, 40).gif().toBuffer()],
  ['a very large photo', () => picture(6000, 4000).jpeg().toBuffer()],
])('%s becomes one plain JPEG within limits', async (_name, make) => {
  const taken = await takePhoto(await make());
  if (!taken.ok) throw new Error(taken.issues[0]?.message);
  expect(Math.max(taken.value.widthPx, taken.value.heightPx)).toBeLessThanOrEqual(2400);
  expect(await sharp(taken.value.jpeg).metadata()).toMatchObject({
    format: 'jpeg',
    space: 'srgb',
    channels: 3,
  });
});

const svg =
  '<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script><image href="file:///etc/passwd"/></svg>';
const hostile: readonly (readonly [string, () => Promise<Buffer>, RegExp])[] = [
  [
    'a text file called .jpg',
    async () => Buffer.from('these are only words, whatever the name says'),
    /not a picture/,
  ],
  ['an empty-headed file', async () => Buffer.alloc(4000), /not a picture/],
  ['a drawing with a script', async () => Buffer.from(svg), /not a picture/],
  ['a page', async () => Buffer.from('<!doctype html><script>1</script>'), /not a picture/],
  ['a PDF', async () => Buffer.from('%PDF-1.7\n'), /not a picture/],
  [
    'a JPEG that breaks off',
    async () => (await picture(900, 900).jpeg().toBuffer()).subarray(0, 3000),
    /damaged/,
  ],
  [
    'a PNG head with rubbish behind it',
    async () => Buffer.concat([Buffer.from('89504e470d0a1a0a', 'hex'), Buffer.alloc(500, 7)]),
    /damaged/,
  ],
  ['a bomb of 20000 by 20000 pixels', async () => blankPng(20_000), /more than 52 million pixels/],
];

test.each(hostile)('%s is refused in words', async (_name, make, words) => {
  const taken = await takePhoto(await make(), 'photo.front');
  expect(taken.ok).toBe(false);
  if (!taken.ok)
    expect(taken.issues).toEqual([{ field: 'photo.front', message: expect.stringMatching(words) }]);
});

test('a file over its limit is refused whole, and the server goes on', async () => {
  const { app } = await shopUnderTest();
  const browser = new Browser(app);
  const large = Buffer.alloc(16 * 1024 * 1024, 1);
  const reply = await browser.postFiles('/verify', {}, [
    { field: 'record', name: 'large.pdf', bytes: large },
  ]);
  expect(reply.statusCode).toBe(422);
  expect(toMend(reply.body).join()).toMatch(/is larger than 15 MB: send it smaller/);
  expect((await browser.get('/health')).statusCode).toBe(200);
});

test('too many files, a field over its limit and a broken body are each refused in words', async () => {
  const { app } = await shopUnderTest();
  const browser = new Browser(app);
  const small = Buffer.from('x');
  const many = (length: number) =>
    Array.from({ length }, () => ({ field: 'other', name: 'a.jpg', bytes: small }));
  const last = { field: 'record', name: 'a.pdf', bytes: small };
  const ninth = await browser.postFiles('/verify', {}, [...many(8), last]);
  expect([ninth.statusCode, toMend(ninth.body).join()]).toEqual([422, expect.stringMatching(/one too many/)]);
  const empty = await browser.postFiles('/verify', {}, [{ ...last, bytes: Buffer.alloc(0) }]);
  expect(toMend(empty.body).join()).toMatch(/is an empty file/);
  expect((await browser.postFiles('/verify', {}, many(65))).statusCode).toBe(413);
  const bare = await app.inject({
    method: 'POST',
    url: '/verify',
    headers: { 'content-type': 'multipart/form-data', cookie: browser.cookie },
    payload: 'no boundary',
  });
  expect(bare.statusCode).toBe(400);
  expect((await browser.postFiles('/verify', { note: 'x'.repeat(200_000) }, [])).statusCode).toBe(413);
  const broken = await app.inject({
    method: 'POST',
    url: '/verify',
    headers: { 'content-type': 'multipart/form-data; boundary=x', cookie: browser.cookie },
    payload: '--x\r\nContent-Disposition: form-data; name="a"\r\n\r\nno end',
  });
  expect(broken.statusCode).toBeGreaterThanOrEqual(400);
  expect(broken.statusCode).toBeLessThan(500);
  const json = await app.inject({
    method: 'POST',
    url: '/verify',
    headers: { 'content-type': 'application/json', cookie: browser.cookie },
    payload: '{"a":',
  });
  expect([400, 403, 415]).toContain(json.statusCode);
});

test('the body of a stranger’s form is not read at a closed address: it takes a session’s cookie, and a page of this site', async () => {
  const { app } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.get('/sign-in');
  const { cookie } = browser;
  const sent = (headers: Record<string, string>) =>
    app.inject({
      method: 'POST',
      url: '/jobs/2026-001/steps/S1/photos',
      headers: { host: '127.0.0.1:8080', 'content-type': 'multipart/form-data; boundary=x', ...headers },
      payload: 'not even a body',
    });
  for (const headers of [{}, here, { cookie }, { ...here, cookie: 'inlet=a.b' }])
    expect((await sent(headers)).statusCode).toBe(401);
  // Read for what was typed to come back, and found to be none.
  expect((await sent({ ...here, cookie })).statusCode).toBe(400);
});
