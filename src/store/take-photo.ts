import { createHash } from 'node:crypto';
import sharp from 'sharp';
import type { Result } from '../errors.js';
import type { NewPhoto } from './photo-store.js';

const longestPx = 2400;
const thumbPx = 360;
const pixelLimit = 50_000_000;

/**
 * A picture as it is kept: a baseline JPEG, upright, one frame, at most 2400 px on its longer side, with nothing in it
 * but the picture (no place, no time, no device). Anything that is not a picture is refused, and so is a drawing (SVG).
 */
export async function takePhoto(bytes: Buffer, field = 'photo'): Promise<Result<NewPhoto>> {
  const refuse = (message: string): Result<NewPhoto> => ({ ok: false, issues: [{ field, message }] });
  if (!looksLikePicture(bytes))
    return refuse('is not a picture that can be kept; take a photo, or send a JPEG or PNG');
  return oneAtATime(async () => {
    try {
      const upright = sharp(bytes, { limitInputPixels: pixelLimit, failOn: 'error', pages: 1 }).rotate();
      const shown = await upright
        .resize({ width: longestPx, height: longestPx, fit: 'inside', withoutEnlargement: true })
        .flatten({ background: '#ffffff' })
        .toColourspace('srgb')
        .jpeg({ quality: 82, progressive: false, mozjpeg: false })
        .toBuffer({ resolveWithObject: true });
      const thumb = await thumbOf(shown.data);
      return {
        ok: true,
        value: {
          id: sha256(shown.data),
          original: sha256(bytes),
          widthPx: shown.info.width,
          heightPx: shown.info.height,
          jpeg: shown.data,
          thumb,
        },
      };
    } catch (error) {
      const tooMany = error instanceof Error && /pixel limit/i.test(error.message);
      return refuse(
        tooMany
          ? 'has more than 50 million pixels; send it smaller'
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
  return oneAtATime(async () => {
    try {
      const { format, exif, xmp, iptc, width, height } = await sharp(jpeg, {
        limitInputPixels: pixelLimit,
      }).metadata();
      if (format !== 'jpeg' || exif !== undefined || xmp !== undefined || iptc !== undefined)
        return refuse('is not a photo as this program keeps it');
      const thumb = await thumbOf(jpeg);
      return {
        ok: true,
        value: { id: sha256(jpeg), original, widthPx: width, heightPx: height, jpeg, thumb },
      };
    } catch {
      return refuse('is damaged');
    }
  });
}

function thumbOf(jpeg: Buffer): Promise<Buffer> {
  return sharp(jpeg, { limitInputPixels: pixelLimit })
    .resize({ width: thumbPx, height: thumbPx, fit: 'inside' })
    .jpeg({ quality: 75, progressive: false })
    .toBuffer();
}

/** By its first bytes, whatever it is called: JPEG, PNG, WebP, GIF, TIFF, HEIF or AVIF. */
function looksLikePicture(bytes: Buffer): boolean {
  const head = bytes.subarray(0, 12).toString('latin1');
  return (
    head.startsWith('\xff\xd8\xff') ||
    head.startsWith('\x89PNG\r\n\x1a\n') ||
    head.startsWith('GIF8') ||
    head.startsWith('II*\0') ||
    head.startsWith('MM\0*') ||
    (head.startsWith('RIFF') && head.slice(8) === 'WEBP') ||
    (head.slice(4, 8) === 'ftyp' && /^(heic|heix|mif1|msf1|avif|heim|heis)/.test(head.slice(8)))
  );
}

let last: Promise<unknown> = Promise.resolve();

/** A large picture takes 200 MB while it is re-encoded: one after the other. */
function oneAtATime<T>(work: () => Promise<T>): Promise<T> {
  const run = last.then(work, work);
  last = run.catch(() => undefined);
  return run;
}

function sha256(bytes: Buffer): string {
  return createHash('sha256').update(bytes).digest('hex');
}
