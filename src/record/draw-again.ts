import type { Buffer } from 'node:buffer';
import { AppError } from '../errors.js';
import { sha256Of } from '../logbook/sha256.js';
import type { DrawnFrom } from './compose-again.js';
import { drawPdf } from './draw-pdf.js';
import { PdfError, PdfRef, type PdfValue } from './pdf-value.js';
import { nameIn, type PdfFile, readPdf } from './read-pdf.js';
import { sameObjects, sameWriting } from './same-objects.js';

/**
 * What came of drawing a record's pages again. Where they differ, `page` is the first that does, from 1; 0 where it is not one page
 * but a photo, their number, or what stands beside them.
 */
export type PagesRead =
  | { readonly read: 'same' }
  | { readonly read: 'otherwise'; readonly page: number; readonly what: string }
  | { readonly read: 'not-compared'; readonly why: string };

/**
 * Draws the document again, with the photos of the file itself, and holds both files against one another: first what is written on each
 * page, then everything else that a reader shows or reads aloud, or finds attached, the signature's own bytes alone left out.
 */
export async function drawAgain(pdf: PdfFile, { document, attachments }: DrawnFrom): Promise<PagesRead> {
  try {
    const photos = photosIn(pdf);
    const again = readPdf(await drawPdf(document, (id) => photos.get(id), attachments));
    return compared(pdf, again);
  } catch (error) {
    if (error instanceof AppError && error.code === 'bad-file')
      return {
        read: 'otherwise',
        page: 0,
        what: 'A photo on the pages is not the one that the attached data name.',
      };
    if (error instanceof PdfError) return beside;
    // A stranger's picture may be none, which the library says by whatever it throws.
    return { read: 'not-compared', why: 'they cannot be drawn from it here' };
  }
}

const beside: PagesRead = {
  read: 'otherwise',
  page: 0,
  what: 'The pages read as the attached data say, but something beside them is not as this program writes it.',
};

function compared(pdf: PdfFile, again: PdfFile): PagesRead {
  const theirs = pagesOf(pdf);
  const ours = pagesOf(again);
  const isSame = sameObjects(pdf, again);
  const differs = (same: (a: PdfRef, b: PdfRef) => boolean) =>
    ours.findIndex((page, k) => theirs[k] === undefined || !same(theirs[k], page));
  const pageIn = (from: PdfFile, page: PdfRef) => from.dict(page, 'a page');
  const contents = (from: PdfFile, page: PdfRef) => pageIn(from, page).get('Contents');
  const own = (a: PdfRef, b: PdfRef) => {
    const [mine, other] = [pageIn(pdf, a), pageIn(again, b)];
    const keys = [...new Set([...mine.keys(), ...other.keys()])];
    return keys.every((key) => key === 'Parent' || key === 'Annots' || isSame(mine.get(key), other.get(key)));
  };
  // What is written comes first: a letter in another face would otherwise be told of page 1, where the face is met first. What leads to
  // other pages comes last: a page that was turned would otherwise be told of the page with the contents.
  for (const same of [
    (a: PdfRef, b: PdfRef) => isSame(contents(pdf, a), contents(again, b)),
    own,
    (a: PdfRef, b: PdfRef) => isSame(a, b),
  ]) {
    const at = differs(same);
    if (at >= 0) return otherwise(at + 1);
  }
  if (theirs.length > ours.length) return otherwise(ours.length + 1);
  const whole = isSame(pdf.root, again.root) && isSame(pdf.info, again.info) && sameWriting(pdf, again);
  return whole ? { read: 'same' } : beside;
}

function otherwise(page: number): PagesRead {
  return { read: 'otherwise', page, what: `Page ${page} does not read as the attached data say.` };
}

/** The pages in their order. A record keeps them in one list. */
function pagesOf(pdf: PdfFile): PdfRef[] {
  const kids = pdf.resolve(pdf.dict(pdf.root.get('Pages'), 'pages').get('Kids'));
  if (!Array.isArray(kids)) throw new PdfError('lacks pages');
  const pages = kids.filter((kid): kid is PdfRef => kid instanceof PdfRef);
  const tree = pdf.root.get('Pages');
  for (const page of pages) {
    // A page takes from its parent how it is turned and cut.
    const parent = pdf.dict(page, 'a page').get('Parent');
    if (!(parent instanceof PdfRef && tree instanceof PdfRef && parent.id === tree.id))
      throw new PdfError('has a page outside the list of its pages');
  }
  return pages;
}

/** The pictures on the pages, by their SHA-256 (hex): a record keeps the bytes of a photo as they are. */
function photosIn(pdf: PdfFile): Map<string, Buffer> {
  const photos = new Map<string, Buffer>();
  for (const page of pagesOf(pdf)) {
    const resources = pdf.resolve(pdf.dict(page, 'a page').get('Resources'));
    const drawn = resources instanceof Map ? pdf.resolve(resources.get('XObject') as PdfValue) : undefined;
    for (const ref of drawn instanceof Map ? drawn.values() : []) {
      const found = ref instanceof PdfRef ? pdf.rawStream(ref) : undefined;
      if (found === undefined || nameIn(found.dict, 'Filter') !== 'DCTDecode') continue;
      photos.set(sha256Of(found.raw), found.raw);
    }
  }
  return photos;
}
