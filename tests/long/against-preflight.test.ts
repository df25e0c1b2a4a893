import { describe, expect, test } from 'vitest';
import { recordDocument } from '../../src/record/document.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { runJava } from '../outside/java-tool.js';
import { filesIn } from '../record/outside-tool.js';
import { photoBytes, type SampleWish, sampleJob } from '../record/sample-job.js';
import { sampleInput as input } from '../record/sample-record.js';

/**
 * Apache PDFBox Preflight (Debian's libpdfbox2-java) as a validator of archival files. It knows PDF/A-1b, which allows no attachment:
 * so the same code draws the same pages once as that. Records themselves are laid out as PDF/A-3b, for which no validator is at hand.
 */
async function drawnAs1b(wish: SampleWish): Promise<Buffer> {
  return drawPdf(recordDocument(await sampleJob(wish), input), (id) => photoBytes.get(id), [], {
    pdfVersion: '1.4',
    subset: 'PDF/A-1b',
  });
}

describe('Preflight', () => {
  test('finds no fault in the pages of a record, with its pictures, photos and signature field', async () => {
    const { pdf } = filesIn({ pdf: await drawnAs1b({}) });
    expect(runJava('CheckArchival', [pdf])).toBe('valid\n');
  });

  test('finds none where names and notes hold what the metadata or the face cannot', async () => {
    const { pdf } = filesIn({ pdf: await drawnAs1b({ note: 'mended & <sealed> 🔧 漢 Zażółć'.repeat(40) }) });
    expect(runJava('CheckArchival', [pdf])).toBe('valid\n');
  });
});
