import { Buffer } from 'node:buffer';
import { describe, expect, test } from 'vitest';
import { recordDocument } from '../../src/record/document.js';
import { lettersNotPrinted, missingGlyphs, printable } from '../../src/record/draw/printable.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { filesIn, runTool } from './outside-tool.js';
import { photoBytes, type SampleWish, sampleJob } from './sample-job.js';
import { sampleInput as input } from './sample-record.js';

const photos = (id: string) => photoBytes.get(id);

async function drawn(wish: SampleWish = {}, facts: Partial<typeof input> = {}): Promise<Buffer> {
  return drawPdf(recordDocument(await sampleJob(wish), { ...input, ...facts }), photos, [
    { name: 'job.json', description: 'The job', type: 'application/json', data: Buffer.from('{}') },
  ]);
}
const textOf = (pdf: Buffer) => runTool('pdftotext', ['-layout', filesIn({ pdf }).pdf, '-']).text;
const pagesOf = (pdf: Buffer) => textOf(pdf).split('\f').slice(0, -1);

describe('a drawn record', () => {
  test('is the same bytes for the same input', async () => {
    expect((await drawn()).equals(await drawn())).toBe(true);
  });

  test('is other bytes for another time of issue', async () => {
    expect((await drawn()).equals(await drawn({}, { issuedAt: '2026-03-04T10:00:01Z' }))).toBe(false);
  });

  test('goes on over pages with a note of any length, cuts none of it and adds no empty page', async () => {
    const note = Array.from({ length: 320 }, (_, k) => `word${k}`).join(' ');
    const pages = pagesOf(await drawn({ note }));
    const all = pages.join(' ');
    for (let k = 0; k < 320; k += 1) expect(all).toContain(`word${k}`);
    for (const page of pages) expect(page.trim().length).toBeGreaterThan(200);
  });

  test('breaks a word that is wider than its column and keeps every letter of it', async () => {
    const note = 'x'.repeat(700);
    const letters =
      textOf(await drawn({ note }))
        .match(/x{20,}/g)
        ?.join('') ?? '';
    // The note stands in three steps.
    expect(letters.length).toBe(3 * 700);
  });

  test('writes a letter that its face lacks as its number, where it would vanish', async () => {
    const text = textOf(await drawn({ note: 'mended 🔧 漢' })).replace(/\s+/g, ' ');
    expect(text).toContain('mended [U+1F527] [U+6F22]');
  });

  test('keeps its metadata readable where a name has marks of XML in it', async () => {
    const pdf = await drawn({}, { shop: 'Thimble & <Lane>' });
    expect(runTool('pdfinfo', [filesIn({ pdf }).pdf]).text).toContain('Thimble and (Lane)');
    const xmp = runTool('pdfinfo', ['-meta', filesIn({ pdf }).pdf]).text;
    expect(xmp).toContain('Thimble and (Lane)');
    expect(xmp).not.toMatch(/&(?!amp;|lt;|gt;|quot;|apos;)/);
    expect(textOf(pdf)).toContain('Thimble & <Lane>');
  });

  test('is refused where a photo is missing or no picture', async () => {
    const record = recordDocument(await sampleJob(), input);
    await expect(async () => drawPdf(record, () => undefined, [])).rejects.toThrow(
      'is missing or no picture',
    );
    await expect(async () => drawPdf(record, () => Buffer.from('GIF89a'), [])).rejects.toThrow('no picture');
  });

  test.each([0, 1, 4, 5, 13])('takes %i photos', async (count) => {
    const pages = pagesOf(await drawn({ photos: count }));
    expect(pages.join(' ')).toContain(count === 0 ? 'No photo was taken.' : 'The opening before the seal');
  });
});

describe('letters that cannot be printed', () => {
  test('are named with the text that holds them', () => {
    expect(missingGlyphs({ note: 'mended 🔧', owner: 'Odile Brandt' })).toEqual([
      { field: 'note', message: '“mended 🔧” has letters that the record cannot print: 🔧' },
    ]);
  });

  test('are few: accents, Greek, Cyrillic and the trade’s marks can be', () => {
    expect(missingGlyphs({ a: 'Żółć Ångström Ωμ ± × ≤ → ° · ½ “’” – Ельня' })).toEqual([]);
  });

  test('finds letters that it lacks in whatever was written, however deep', () => {
    const body = { note: 'mended', answers: { why: { kind: 'note', text: '漢 here' } }, strokes: [[[1, 2]]] };
    expect(lettersNotPrinted([{ body }, { body }])).toEqual([
      '“漢 here” has letters that the record cannot print: 漢',
    ]);
  });

  test('include marks that turn the reading direction', () => {
    expect(printable('a\u202eb')).toBe('a[U+202E]b');
    expect(printable('a\tb\u0007')).toBe('a b ');
  });
});
