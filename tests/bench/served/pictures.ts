import { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import sharp from 'sharp';
import type { NewPhoto } from '../../../src/store/photo-store.js';
import { takePhoto } from '../../../src/store/take-photo.js';

/** Something with edges, shades and grain, 1,600 × 1,200: as large as a phone's photo is once it was taken in. */
export function picture(k: number): Promise<Buffer> {
  const shapes = Array.from(
    { length: 60 },
    (_, n) =>
      `<circle cx="${(n * 397 + k * 61) % 1600}" cy="${(n * 211 + k * 97) % 1200}" r="${40 + ((n * 37) % 160)}" fill="hsl(${(n * 47 + k * 31) % 360} 40% 50% / 0.6)"/>`,
  );
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="1600" height="1200"><rect width="1600" height="1200" fill="#998"/>${shapes.join('')}</svg>`;
  const noise = { type: 'gaussian' as const, mean: 128, sigma: 14 };
  const grain = { width: 1600, height: 1200, channels: 3 as const, background: '#888', noise };
  return sharp(Buffer.from(svg))
    .composite([{ input: { create: grain }, blend: 'soft-light' }])
    .flatten()
    .jpeg({ quality: 82 })
    .toBuffer();
}

/** A picture of nothing but grain, as a phone sends it before it was taken in: some 2.5 MB. */
export function photograph(): Promise<Buffer> {
  const noise = { type: 'gaussian' as const, mean: 128, sigma: 20 };
  return sharp({ create: { width: 2400, height: 1800, channels: 3, background: '#887', noise } })
    .jpeg({ quality: 80 })
    .toBuffer();
}

/** The same picture with a comment behind its first marker: other bytes, and so another photo. */
export function marked(jpeg: Buffer, words: string): Buffer<ArrayBuffer> {
  const head = Buffer.from([0xff, 0xfe, 0, words.length + 2]);
  return Buffer.concat([jpeg.subarray(0, 2), head, Buffer.from(words, 'latin1'), jpeg.subarray(2)]);
}

/** Different photos as they are kept. */
export async function takenPhotos(count: number): Promise<readonly NewPhoto[]> {
  const photos: NewPhoto[] = [];
  for (let k = 1; k <= count; k += 1) photos.push(await taken(await picture(k)));
  return photos;
}

/** Photos as large as they come, all of one picture that is kept under other digests. */
export async function largePhotos(count: number): Promise<readonly NewPhoto[]> {
  const one = await taken(await photograph());
  return Array.from({ length: count }, (_, k) => {
    const jpeg = marked(one.jpeg, `photo ${k}`);
    return { ...one, jpeg, id: createHash('sha256').update(jpeg).digest('hex') };
  });
}

async function taken(bytes: Buffer): Promise<NewPhoto> {
  const photo = await takePhoto(bytes);
  if (!photo.ok) throw new Error(photo.issues[0]?.message);
  return photo.value;
}
