import { crc32, deflateSync } from 'node:zlib';
import sharp from 'sharp';

export const picture = (width: number, height: number) =>
  sharp({ create: { width, height, channels: 3, background: '#7a3a12' } });

export interface PngHead {
  readonly width: number;
  readonly height: number;
  readonly depth?: number;
  /** 0 grey, 2 RGB, 6 RGB with alpha. */
  readonly colour?: number;
  readonly interlaced?: boolean;
}

/** A PNG from its parts. @source PNG, third edition, sections 5 and 11 */
export function png(
  { width, height, depth = 1, colour = 0, interlaced = false }: PngHead,
  rows: Buffer,
  more: readonly (readonly [string, Buffer])[] = [],
): Buffer {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([depth, colour, 0, 0, interlaced ? 1 : 0], 8);
  const chunks = [
    ['IHDR', head],
    ...more,
    ['IDAT', deflateSync(rows, { level: 1 })],
    ['IEND', Buffer.alloc(0)],
  ];
  return Buffer.concat([
    Buffer.from('89504e470d0a1a0a', 'hex'),
    ...(chunks as [string, Buffer][]).map(([type, data]) => chunk(type, data)),
  ]);
}

function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(data.length);
  sum.writeUInt32BE(crc32(body));
  return Buffer.concat([length, body, sum]);
}

/** A black PNG of one bit a pixel: about fifty kilobytes, whatever its side. */
export function blankPng(width: number, height = width): Buffer {
  return png({ width, height }, Buffer.alloc(height * (1 + Math.ceil(width / 8))));
}

/** A JPEG whose head says another size than it has. @source ITU-T T.81, B.2.2 */
export function jpegSaying(jpeg: Buffer, width: number, height: number): Buffer {
  const bytes = Buffer.from(jpeg);
  let at = 2;
  while (![0xc0, 0xc2].includes(bytes[at + 1] as number)) at += 2 + bytes.readUInt16BE(at + 2);
  bytes.writeUInt16BE(height, at + 5);
  bytes.writeUInt16BE(width, at + 7);
  return bytes;
}

/** Red in its upper left quarter, blue elsewhere, stored turned as an orientation says, with a place in its EXIF. */
export async function turned(orientation: number): Promise<Buffer> {
  const red = await sharp({ create: { width: 60, height: 40, channels: 3, background: '#ff0000' } })
    .png()
    .toBuffer();
  const upright = await sharp({ create: { width: 120, height: 80, channels: 3, background: '#0000ff' } })
    .composite([{ input: red, left: 0, top: 0 }])
    .png()
    .toBuffer();
  const quarter = { 3: 180, 5: 90, 6: 270, 7: 270, 8: 90 }[orientation] ?? 0;
  const rotated = await sharp(upright).rotate(quarter).png().toBuffer();
  const stored = sharp(rotated)
    .flip(orientation === 4)
    .flop([2, 5, 7].includes(orientation));
  return stored
    .jpeg({ quality: 95 })
    .withExif({
      IFD0: { Make: 'Somebody' },
      IFD3: {
        GPSLatitudeRef: 'N',
        GPSLatitude: '51/1 30/1 0/1',
        GPSLongitudeRef: 'W',
        GPSLongitude: '0/1 7/1 0/1',
      },
    })
    .withMetadata({ orientation })
    .toBuffer();
}
