import { drawAgain, type PagesRead } from './draw-again.js';
import { drawingVersion } from './drawing-version.js';
import { type Examined, type Expectation, examine, type Verification } from './verify-pdf.js';
import { withPages } from './with-pages.js';

/**
 * As `verifyRecord`, and then the pages: drawn again from what is attached to them, do they read the same? That takes about as long as
 * issuing did, so `early` is told the answer without it first. Never throws for what the file holds.
 */
export async function verifyPages(
  file: Uint8Array,
  expected: Expectation = {},
  early: (seen: Verification) => void = () => {},
): Promise<Verification> {
  const examined = examine(file, expected);
  early(examined.seen);
  return 'facts' in examined.seen ? withPages(examined.seen, await readPages(examined)) : examined.seen;
}

async function readPages({ seen, pdf, recomposed }: Examined): Promise<PagesRead> {
  if (!('facts' in seen) || pdf === undefined || recomposed === undefined)
    return notCompared('it is no record');
  const { drawing } = seen.facts;
  if (recomposed.reads === 'not-said' || drawing === undefined)
    return notCompared('it does not say from what they were composed and drawn');
  if (drawing !== drawingVersion)
    return notCompared(`they were drawn by another version of this program (${drawing})`);
  if (recomposed.drawnFrom === undefined)
    return notCompared('what is attached to them is composed otherwise here');
  return drawAgain(pdf, recomposed.drawnFrom);
}

const notCompared = (why: string): PagesRead => ({ read: 'not-compared', why });
