import { deflateSync, gzipSync } from 'node:zlib';
import { zipSync } from 'fflate';
import sharp from 'sharp';
import { blankPng, jpegSaying, picture, png, turned } from './make-picture.js';

/** What comes of a file: the words that refuse it, or the size of the picture that is kept. */
export type Outcome = RegExp | { readonly width: number; readonly height: number };
export interface HostileFile {
  readonly name: string;
  readonly bytes: Buffer;
  readonly outcome: Outcome;
}

const noPicture = /is not a picture that can be kept/;
const unreadable = /is damaged, or a kind of picture that cannot be read here/;
const tooMany = /has more than 52 million pixels/;
const tooHeavy = /takes too much memory to be opened/;
const kept = (width: number, height: number) => ({ width, height });
const svg = (inside: string, before = '') =>
  Buffer.from(`${before}<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9">${inside}</svg>`);

/** Files that a phone would not send, and some that one would, with what must come of each. */
export async function hostileFiles(): Promise<HostileFile[]> {
  const jpeg = await picture(300, 200).jpeg().toBuffer();
  const progressive = await picture(300, 200)
    .jpeg({ progressive: true, chromaSubsampling: '4:4:4' })
    .toBuffer();
  const whole = await noisy(300, 200);
  const asPng = await sharp(whole).png().toBuffer();
  const webp = await sharp(whole).webp().toBuffer();
  const gif = await sharp(whole).gif().toBuffer();
  const tiff = await sharp(whole).tiff({ compression: 'deflate' }).toBuffer();
  const avif = await sharp(whole).avif({ effort: 0 }).toBuffer();
  const moving = await frames();
  const rows: [string, Buffer, Outcome][] = [
    ['a PNG of 20,000 by 20,000', blankPng(20_000), tooMany],
    ['a PNG that says 65,535 by 65,535', png({ width: 65_535, height: 65_535 }, Buffer.alloc(9)), tooMany],
    ['a JPEG that says 65,000 by 65,000', jpegSaying(jpeg, 65_000, 65_000), tooMany],
    // Its frame is what is read, and that is small.
    ['a GIF that says 65,535 by 65,535', gifSaying(gif, 65_535, 65_535), kept(300, 200)],
    ['a WebP that says 16,383 by 16,383', await webpSaying(16_383, 16_383), tooMany],
    ['a TIFF that says 200,000 by 200,000', tiffSaying(200_000, 200_000), /pixels|damaged/],
    [
      'a PNG in passes, of 16 bits and 49 million pixels',
      png({ width: 7000, height: 7000, depth: 16, colour: 6, interlaced: true }, Buffer.alloc(9)),
      tooHeavy,
    ],
    ['a JPEG in passes of 49 million pixels', jpegSaying(progressive, 7000, 7000), tooHeavy],
    ['a JPEG that goes over its picture 200,000 times', await inPasses(200_000), /in more passes than/],
    ['a PNG with a colour profile of 40 MB in 40 kB', withChunk('iCCP', 'p\0\0', 40), kept(8, 8)],
    ['a PNG with a text of 40 MB in 40 kB', withChunk('zTXt', 't\0\0', 40), kept(8, 8)],
    ['a black PNG of 1 by 60,000', blankPng(1, 60_000), kept(1, 2400)],
    ['a black PNG of 60,000 by 1', blankPng(60_000, 1), kept(2400, 1)],
    ...[3, 20, 160, 500, Math.floor(whole.length / 2), whole.length - 400].map(
      (at): [string, Buffer, Outcome] => [`a JPEG cut at byte ${at}`, whole.subarray(0, at), unreadable],
    ),
    ...[30, 60, Math.floor(asPng.length / 2)].map((at): [string, Buffer, Outcome] => [
      `a PNG cut at byte ${at}`,
      asPng.subarray(0, at),
      unreadable,
    ]),
    ['half a WebP', webp.subarray(0, webp.length / 2), unreadable],
    ['half a GIF', gif.subarray(0, gif.length / 2), unreadable],
    ['half a TIFF', tiff.subarray(0, tiff.length / 2), unreadable],
    ['half an AVIF', avif.subarray(0, avif.length / 2), unreadable],
    ['a JPEG whose middle is rubbish', spoilt(whole), /./],
    ['a drawing', svg('<rect width="9" height="9"/>'), noPicture],
    ['a drawing with a script', svg('<script>alert(1)</script>'), noPicture],
    [
      'a drawing that asks for another file',
      svg('&x;', '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>'),
      noPicture,
    ],
    ['a packed drawing', gzipSync(svg('<rect/>')), noPicture],
    ['a moving GIF', await sharp(moving, { animated: true }).gif().toBuffer(), kept(40, 30)],
    ['a moving WebP', await sharp(moving, { animated: true }).webp().toBuffer(), kept(40, 30)],
    ['a moving PNG', movingPng(), kept(8, 8)],
    [
      'a JPEG that is a zip as well',
      Buffer.concat([jpeg, zipSync({ 'a.txt': Buffer.from('hidden words') })]),
      kept(300, 200),
    ],
    [
      'a JPEG that is a page as well',
      Buffer.concat([jpeg, Buffer.from('<script>hidden words</script>')]),
      kept(300, 200),
    ],
    ['a JPEG with a script in its remark', remarked(jpeg), kept(300, 200)],
    [
      'a GIF that is a script as well',
      Buffer.concat([gif, Buffer.from('*/=1;hidden words')]),
      kept(300, 200),
    ],
    ['a PDF', Buffer.from('%PDF-1.7\nhidden words'), noPicture],
    ['a page with a picture behind it', Buffer.concat([Buffer.from('<!doctype html>'), jpeg]), noPicture],
    ...(await Promise.all(
      [1, 2, 3, 4, 5, 6, 7, 8].map(
        async (turn): Promise<[string, Buffer, Outcome]> => [
          `a photo with a place and orientation ${turn}`,
          await turned(turn),
          kept(120, 80),
        ],
      ),
    )),
    ['a JPEG in CMYK', await sharp(whole).toColourspace('cmyk').jpeg().toBuffer(), kept(300, 200)],
    ['a PNG of 16 bits', await sharp(whole).toColourspace('rgb16').png().toBuffer(), kept(300, 200)],
    ['a JPEG in Display P3', await sharp(whole).withIccProfile('p3').jpeg().toBuffer(), kept(300, 200)],
    ['a grey JPEG', await sharp(whole).greyscale().jpeg().toBuffer(), kept(300, 200)],
    ['a PNG with a clear ground', await picture(50, 40).ensureAlpha(0.5).png().toBuffer(), kept(50, 40)],
    ['an AVIF', avif, kept(300, 200)],
    ['a TIFF', tiff, kept(300, 200)],
    [
      'a HEIC',
      Buffer.concat([Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic', 'latin1'), Buffer.alloc(400)]),
      /is a HEIC picture/,
    ],
    ['no byte at all', Buffer.alloc(0), /is an empty file/],
    ['one byte', Buffer.from([0xff]), noPicture],
    ['words', Buffer.from('these are only words, whatever the name says'), noPicture],
    ['zeros', Buffer.alloc(4000), noPicture],
    ['a program', Buffer.from(`MZ${'\0'.repeat(200)}`), noPicture],
    ['a film', Buffer.concat([Buffer.from('\0\0\0\x18ftypisom', 'latin1'), Buffer.alloc(200)]), noPicture],
    [
      'a PNG head with rubbish behind it',
      Buffer.concat([asPng.subarray(0, 8), Buffer.alloc(500, 7)]),
      unreadable,
    ],
  ];
  return rows.map(([name, bytes, outcome]) => ({ name, bytes, outcome }));
}

/** A picture that does not pack well, so that every cut falls into it. */
function noisy(width: number, height: number): Promise<Buffer> {
  const raw = Buffer.alloc(width * height * 3);
  for (let k = 0; k < raw.length; k++) raw[k] = (k * 2_654_435_761) >>> 24;
  return sharp(raw, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 90 })
    .toBuffer();
}

function frames(): Promise<Buffer> {
  const raw = Buffer.alloc(40 * 90 * 3, 200);
  return sharp(raw, { raw: { width: 40, height: 90, channels: 3, pageHeight: 30 } })
    .gif()
    .toBuffer();
}

/** A JPEG in passes of which one that says nothing new, of a few bytes, comes so often more; each is right by the standard. */
async function inPasses(times: number): Promise<Buffer> {
  const jpeg = await sharp({ create: { width: 1500, height: 1500, channels: 3, background: '#888' } })
    .jpeg({ progressive: true })
    .toBuffer();
  // The two passes of one component alone: its numbers with all their bits but the last, and the last.
  const mark = Buffer.from('ffda00080103', 'hex');
  const first = jpeg.indexOf(mark);
  const second = jpeg.indexOf(mark, first + 1);
  const passAt = (from: number) => jpeg.subarray(from, jpeg.indexOf(0xff, from + mark.length));
  const whole = Buffer.from(passAt(first));
  // All of its bits at once, and then nothing is left to refine.
  whole[9] = 0;
  return Buffer.concat([
    ...[jpeg.subarray(0, first), ...Array<Buffer>(times).fill(whole)],
    jpeg.subarray(first + whole.length, second),
    jpeg.subarray(second + passAt(second).length),
  ]);
}

const small = (more: readonly (readonly [string, Buffer])[]) =>
  png({ width: 8, height: 8, depth: 8, colour: 2 }, Buffer.alloc(8 * 25), more);

function withChunk(type: string, head: string, megabytes: number): Buffer {
  const packed = deflateSync(Buffer.alloc(megabytes * 1_000_000), { level: 9 });
  return small([[type, Buffer.concat([Buffer.from(head, 'latin1'), packed])]]);
}

/** A second frame that no reader of one frame looks at. @source PNG, third edition, section 11.3.6 */
function movingPng(): Buffer {
  const control = Buffer.alloc(26);
  control.writeUInt32BE(8, 4);
  control.writeUInt32BE(8, 8);
  const count = Buffer.alloc(8);
  count.writeUInt32BE(2, 0);
  return small([
    ['acTL', count],
    ['fcTL', control],
  ]);
}

function gifSaying(gif: Buffer, width: number, height: number): Buffer {
  const bytes = Buffer.from(gif);
  bytes.writeUInt16LE(width, 6);
  bytes.writeUInt16LE(height, 8);
  return bytes;
}

/** @source WebP container, simple lossless layout: 14 bits each of width and height less one behind the mark 0x2f */
async function webpSaying(width: number, height: number): Promise<Buffer> {
  const bytes = Buffer.from(await picture(16, 16).webp({ lossless: true }).toBuffer());
  const at = bytes.indexOf('VP8L') + 9;
  bytes.writeUInt32LE(
    ((bytes.readUInt32LE(at) & 0xf000_0000) | ((height - 1) << 14) | (width - 1)) >>> 0,
    at,
  );
  return bytes;
}

/** A TIFF of tags alone. @source TIFF 6.0, section 2 */
function tiffSaying(width: number, height: number): Buffer {
  const tags = [
    ...[
      [256, width],
      [257, height],
      [258, 8],
      [259, 1],
      [262, 1],
    ],
    ...[
      [273, 8],
      [277, 1],
      [278, height],
      [279, 100],
    ],
  ] as [number, number][];
  const bytes = Buffer.alloc(10 + tags.length * 12 + 4);
  bytes.write('II*\0', 'latin1');
  bytes.writeUInt32LE(8, 4);
  bytes.writeUInt16LE(tags.length, 8);
  tags.forEach(([tag, value], k) => {
    bytes.writeUInt16LE(tag, 10 + k * 12);
    bytes.writeUInt16LE(4, 12 + k * 12);
    bytes.writeUInt32LE(1, 14 + k * 12);
    bytes.writeUInt32LE(value, 18 + k * 12);
  });
  return bytes;
}

function spoilt(jpeg: Buffer): Buffer {
  const bytes = Buffer.from(jpeg);
  bytes.fill(0xff, Math.floor(jpeg.length / 3), Math.floor(jpeg.length / 2));
  return bytes;
}

function remarked(jpeg: Buffer): Buffer {
  const words = Buffer.from('<script>hidden words</script>');
  const head = Buffer.from([0xff, 0xfe, 0, words.length + 2]);
  return Buffer.concat([jpeg.subarray(0, 2), head, words, jpeg.subarray(2)]);
}
