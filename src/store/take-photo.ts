import type { Metadata, default as Sharp } from 'sharp';
import type { Result } from '../errors.js';
import { oneAtATime } from '../in-turns.js';
import { sha256Of } from '../logbook/sha256.js';
import type { NewPhoto } from './photo-store.js';
import { isPlainJpeg, scansOf } from './plain-jpeg.js';

const longestPx = 2400;
const thumbPx = 360;
/** What a phone calls 50 megapixels is up to 8,192 × 6,144. */
const pixelLimit = 52_000_000;
/** A picture that can only be opened whole may take so many bytes of memory. */
const wholeBytes = 200_000_000;
/** A picture in passes comes in some ten of them. */
const mostScans = 64;
const tooManyPixels = 'has more than 52 million pixels; send it smaller';

/** A large picture takes some 100 MB while it is re-encoded: one after the other, and nobody is sent away. */
const inTurn = oneAtATime();

let loaded: Promise<typeof Sharp> | undefined;

/** The library, loaded with the first picture: it takes 25 MB, and a start waits for nothing that it does not need. */
function loadSharp(): Promise<typeof Sharp> {
  loaded ??= import('sharp').then(({ default: sharp }) => {
    // Nothing is read twice: what it would keep is memory alone.
    sharp.cache(false);
    return sharp;
  });
  return loaded;
}

/**
 * A picture as it is kept: a baseline JPEG, upright, one frame, at most 2400 px on its longer side, with nothing in it
 * but the picture (no place, no time, no device). Anything that is not a picture is refused, and so is a drawing (SVG).
 */
export async function takePhoto(bytes: Buffer, field = 'photo'): Promise<Result<NewPhoto>> {
  const refuse = (message: string): Result<NewPhoto> => ({ ok: false, issues: [{ field, message }] });
  if (bytes.length === 0) return refuse('is an empty file: choose it again');
  if (isHeic(bytes)) return refuse('is a HEIC picture, which cannot be read here; send it as a JPEG');
  if (!looksLikePicture(bytes))
    return refuse('is not a picture that can be kept; take a photo, or send a JPEG or PNG');
  return inTurn(async () => {
    const sharp = await loadSharp();
    try {
      const head = await sharp(bytes, { limitInputPixels: false, pages: 1 }).metadata();
      const tooLarge = largerThanKept(head);
      if (tooLarge !== undefined) return refuse(tooLarge);
      if (head.format === 'jpeg' && head.isProgressive && scansOf(bytes) > mostScans)
        return refuse('comes in more passes than any camera makes; send it as a plain JPEG');
      const upright = sharp(bytes, { limitInputPixels: pixelLimit, failOn: 'error', pages: 1 }).rotate();
      const shown = await upright
        .resize({ width: longestPx, height: longestPx, fit: 'inside', withoutEnlargement: true })
        .flatten({ background: '#ffffff' })
        .toColourspace('srgb')
        // Written row by row. Huffman codes counted for the very picture would save 6 to 12 % of the file, but hold all of it as
        // coefficients first: 100 MB more in the server, whose threads each keep room for one, and half as long again.
        .jpeg({ quality: 82, progressive: false, mozjpeg: false, optimiseCoding: false })
        .toBuffer({ resolveWithObject: true });
      const thumb = await thumbOf(shown.data);
      return {
        ok: true,
        value: {
          id: sha256Of(shown.data),
          original: sha256Of(bytes),
          widthPx: shown.info.width,
          heightPx: shown.info.height,
          jpeg: shown.data,
          thumb,
        },
      };
    } catch (error) {
      if (!isOfThePicture(error)) throw error;
      const tooMany = /pixel limit/i.test(error.message);
      return refuse(
        tooMany
          ? tooManyPixels
          : 'is damaged, or a kind of picture that cannot be read here; take it again or send a JPEG',
      );
    }
  });
}

/**
 * A photo that was kept before, as it comes back in a job file: its bytes stay as they are, so that its digest does. It
 * must be what `takePhoto` makes: a JPEG within the limits with nothing in it but the picture.
 */
export async function restorePhoto(jpeg: Buffer, original: string): Promise<Result<NewPhoto>> {
  const refuse = (message: string): Result<NewPhoto> => ({
    ok: false,
    issues: [{ field: 'photos', message }],
  });
  return inTurn(async () => {
    const sharp = await loadSharp();
    try {
      const { format, width, height } = await sharp(jpeg, { limitInputPixels: pixelLimit }).metadata();
      if (format !== 'jpeg' || !isPlainJpeg(jpeg) || Math.max(width, height) > longestPx)
        return refuse('is not a photo as this program keeps it');
      const thumb = await thumbOf(jpeg);
      return {
        ok: true,
        value: { id: sha256Of(jpeg), original, widthPx: width, heightPx: height, jpeg, thumb },
      };
    } catch (error) {
      if (!isOfThePicture(error)) throw error;
      return refuse('is damaged');
    }
  });
}

/** What the library says of a picture that it cannot open is a plain error; a slip of this program is none, nor is want of memory. */
function isOfThePicture(error: unknown): error is Error {
  return error instanceof Error && error.name === 'Error' && !/out of memory/i.test(error.message);
}

/** Why a picture is too large to be opened, told by its head alone. */
function largerThanKept({
  format,
  width,
  height,
  channels,
  depth,
  isProgressive,
}: Metadata): string | undefined {
  if (width * height > pixelLimit) return tooManyPixels;
  // JPEG and PNG are read row by row, unless they come in passes; a JPEG in passes is held as coefficients of two bytes.
  if ((format === 'jpeg' || format === 'png') && !isProgressive) return undefined;
  const sample = format === 'jpeg' ? 2 : (bytesOfDepth[depth ?? ''] ?? 8);
  if (width * height * channels * sample <= wholeBytes) return undefined;
  return 'takes too much memory to be opened; send it smaller, or as a plain JPEG';
}

const bytesOfDepth: Readonly<Record<string, number>> = {
  ...{ uchar: 1, char: 1, ushort: 2, short: 2 },
  ...{ uint: 4, int: 4, float: 4, complex: 8, double: 8, dpcomplex: 16 },
};

async function thumbOf(jpeg: Buffer): Promise<Buffer> {
  const sharp = await loadSharp();
  return sharp(jpeg, { limitInputPixels: pixelLimit })
    .resize({ width: thumbPx, height: thumbPx, fit: 'inside' })
    .jpeg({ quality: 75, progressive: false })
    .toBuffer();
}

/** The pictures of some phones: a HEIF file whose contents need a decoder that is not here. */
function isHeic(bytes: Buffer): boolean {
  return /^ftyp(hei[cxms]|hev[cxms])/.test(bytes.subarray(4, 12).toString('latin1'));
}

/** By its first bytes, whatever it is called: JPEG, PNG, WebP, GIF, TIFF or AVIF. */
function looksLikePicture(bytes: Buffer): boolean {
  const head = bytes.subarray(0, 12).toString('latin1');
  return (
    head.startsWith('\xff\xd8\xff') ||
    head.startsWith('\x89PNG\r\n\x1a\n') ||
    head.startsWith('GIF8') ||
    head.startsWith('II*\0') ||
    head.startsWith('MM\0*') ||
    (head.startsWith('RIFF') && head.slice(8) === 'WEBP') ||
    (head.slice(4, 8) === 'ftyp' && /^(mif1|msf1|avif|avis)/.test(head.slice(8)))
  );
}
