import { createHash } from 'node:crypto';
import sharp, { type Sharp } from 'sharp';
import { expect, test } from 'vitest';
import { photosOf } from '../../src/store/carry/import-job.js';
import type { JobFile } from '../../src/store/carry/job-file.js';
import { isPlainJpeg } from '../../src/store/plain-jpeg.js';
import { restorePhoto, takePhoto } from '../../src/store/take-photo.js';
import { hostileFiles } from './hostile-pictures.js';
import { picture, turned } from './make-picture.js';

const files = await hostileFiles();
const sha256 = (bytes: Buffer) => createHash('sha256').update(bytes).digest('hex');

/** What an import makes of these bytes as a photo that its logbook names. */
async function imported(bytes: Buffer): Promise<string> {
  const id = sha256(bytes);
  const entries = [{ kind: 'photo added', body: { photo: id, original: id } }];
  const file = { entries, photos: { [id]: bytes.toString('base64') } } as unknown as JobFile;
  return photosOf(file).then(
    () => 'taken',
    (error: Error) => error.message,
  );
}

test('there are at least forty hostile files', () => {
  expect(files.length).toBeGreaterThanOrEqual(40);
});

test.each(files)(
  '$name is a right picture or refused in words, and no import takes more than a plain picture as it is',
  async ({ bytes, outcome }) => {
    const taken = await takePhoto(bytes, 'photo.front');
    const asItIs = isPlainJpeg(bytes) ? /./ : /is (not a photo as this program keeps it|damaged)$/;
    expect(await imported(bytes)).toMatch(asItIs);
    if (!taken.ok) {
      expect(taken.issues).toEqual([
        { field: 'photo.front', message: expect.stringMatching(outcome as RegExp) },
      ]);
      return;
    }
    const { jpeg, thumb, id, original, widthPx, heightPx } = taken.value;
    if (!(outcome instanceof RegExp)) expect({ width: widthPx, height: heightPx }).toEqual(outcome);
    else expect('any words').toMatch(outcome);
    expect([id, original]).toEqual([sha256(jpeg), sha256(bytes)]);
    for (const kept of [jpeg, thumb]) {
      expect(isPlainJpeg(kept)).toBe(true);
      expect(kept.includes('hidden words')).toBe(false);
      const { format, space, channels, depth, hasProfile, exif } = await sharp(kept).metadata();
      expect({ format, space, channels, depth, hasProfile, exif }).toEqual({
        ...{ format: 'jpeg', space: 'srgb', channels: 3, depth: 'uchar' },
        ...{ hasProfile: false, exif: undefined },
      });
    }
    expect(await imported(jpeg)).toBe('taken');
  },
);

test('the largest that a phone of 50 megapixels makes is taken', async () => {
  const create = { width: 8192, height: 6144, channels: 3 as const, background: '#665' };
  const taken = await takePhoto(await sharp({ create }).jpeg().toBuffer());
  expect(taken).toMatchObject({ ok: true, value: { widthPx: 2400, heightPx: 1800 } });
});

test.each([1, 2, 3, 4, 5, 6, 7, 8])('a photo of orientation %i stands upright', async (orientation) => {
  const taken = await takePhoto(await turned(orientation));
  if (!taken.ok) throw new Error(taken.issues[0]?.message);
  const raw = await sharp(taken.value.jpeg).raw().toBuffer();
  const at = (x: number, y: number) =>
    [...raw.subarray((y * 120 + x) * 3, (y * 120 + x) * 3 + 3)].map((v) => Math.round(v / 255));
  expect([at(10, 10), at(110, 10), at(10, 70), at(110, 70)]).toEqual([
    [1, 0, 0],
    [0, 0, 1],
    [0, 0, 1],
    [0, 0, 1],
  ]);
});

test.each([
  ['Display P3', (s: Sharp) => s.withIccProfile('p3').jpeg({ quality: 100 })],
  ['CMYK', (s: Sharp) => s.toColourspace('cmyk').jpeg({ quality: 100 })],
  ['16 bits', (s: Sharp) => s.toColourspace('rgb16').png()],
])('a colour that came in %s is the same colour in sRGB', async (name, made) => {
  const [r, g, b] = [150, 110, 70];
  const sent = await made(
    sharp({ create: { width: 64, height: 64, channels: 3, background: { r, g, b } } }),
  ).toBuffer();
  const taken = await takePhoto(sent);
  if (!taken.ok) throw new Error(taken.issues[0]?.message);
  const { channels } = await sharp(taken.value.jpeg).stats();
  const off = [r, g, b].map((value, k) => Math.abs((channels[k]?.mean ?? 0) - value));
  expect(Math.max(...off)).toBeLessThan(name === 'CMYK' ? 20 : 8);
});

test('however many photos come at once, one is open at a time, and each is taken', async () => {
  const sent = await picture(1200, 900).jpeg().toBuffer();
  const kept = await takePhoto(sent);
  if (!kept.ok) throw new Error(kept.issues[0]?.message);
  let most = 0;
  const look = () => {
    const { queue, process } = sharp.counters();
    most = Math.max(most, queue + process);
  };
  sharp.queue.on('change', look);
  const taken = await Promise.all([
    ...Array.from({ length: 5 }, () => takePhoto(sent)),
    ...Array.from({ length: 5 }, () => restorePhoto(kept.value.jpeg, kept.value.original)),
  ]);
  sharp.queue.off('change', look);
  expect(taken).toEqual(Array.from({ length: 10 }, () => kept));
  expect(most).toBe(1);
});

test('a photo that was cut is damaged; what goes wrong in the program itself is not laid to the photo', async () => {
  const kept = await takePhoto(await picture(400, 300).jpeg().toBuffer());
  if (!kept.ok) throw new Error(kept.issues[0]?.message);
  const { jpeg, original } = kept.value;
  const head = jpeg.subarray(0, 60);
  expect(await restorePhoto(head, original)).toMatchObject({
    ok: false,
    issues: [{ message: 'is damaged' }],
  });
  // Bytes without the methods that are asked of them.
  await expect(restorePhoto(new Uint8Array(jpeg) as Buffer, original)).rejects.toThrow(TypeError);
});

test('a photo is written with codes that were there before it, so that it is not held whole to count its own', async () => {
  const codes = await Promise.all(
    ['#7a3a12', '#10c0f0'].map(async (background) => {
      const noise = { type: 'gaussian', mean: 128, sigma: 30 } as const;
      const sent = await sharp({ create: { width: 64, height: 48, channels: 3, background, noise } })
        .png()
        .toBuffer();
      const taken = await takePhoto(sent);
      if (!taken.ok) throw new Error(taken.issues[0]?.message);
      const { jpeg } = taken.value;
      return jpeg.subarray(jpeg.indexOf('ffc4', 'hex'), jpeg.indexOf('ffda', 'hex')).toString('hex');
    }),
  );
  expect(codes[0]).not.toBe('');
  expect(codes[0]).toBe(codes[1]);
});
