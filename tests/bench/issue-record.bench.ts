import sharp from 'sharp';
import { bench, describe } from 'vitest';
import { recordDocument } from '../../src/record/document.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { issueRecord } from '../../src/record/issue-record.js';
import { verifyPages } from '../../src/record/verify-pages.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { playedRecord, playedSigner } from '../record/played-record.js';
import { sampleJob } from '../record/sample-job.js';
import { sampleFacts, sampleRequest } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';

/** The sample job’s record with twenty photos, as large as a phone's are once they were taken in. */
const count = 20;
const signer = testSigner();
const request = await sampleRequest(signer, { photos: count });
const pictures = new Map<string, Buffer>();
for (const { body } of (await sampleJob({ photos: count })).log.photos)
  pictures.set(body.photo, await picture(pictures.size));
const photos = (id: string) => pictures.get(id);
const { fingerprint, rootFingerprint } = signer;
const pages = recordDocument(request.assessment, { ...sampleFacts, fingerprint, rootFingerprint });
const issue = () => issueRecord({ ...request, photos });

/** Something with edges, shades and grain, 1,600 × 1,200. */
function picture(k: number): Promise<Buffer> {
  const shapes = Array.from(
    { length: 60 },
    (_, n) =>
      `<circle cx="${(n * 397 + k * 61) % 1600}" cy="${(n * 211 + k * 97) % 1200}" r="${40 + ((n * 37) % 160)}" fill="hsl(${(n * 47 + k * 31) % 360} 40% 50% / 0.6)"/>`,
  );
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="1600" height="1200"><rect width="1600" height="1200" fill="#998"/>${shapes.join('')}</svg>`;
  const grain = { width: 1600, height: 1200, channels: 3 as const, background: '#888' };
  return sharp(Buffer.from(svg))
    .composite([
      {
        input: {
          create: { ...grain, noise: { type: 'gaussian' as const, mean: 128, sigma: 14 } },
        },
        blend: 'soft-light',
      },
    ])
    .flatten()
    .jpeg({ quality: 82 })
    .toBuffer();
}

// Said once, of the first issue in this process: later ones find the faces and the heap ready.
const megabytes = (bytes: number) => `${(bytes / 1024 / 1024).toFixed(1)} MB`;
const mostHeld = () => process.resourceUsage().maxRSS * 1024;
const before = { now: process.memoryUsage.rss(), most: mostHeld() };
const { pdf } = await issue();
const photoBytes = [...pictures.values()].reduce((sum, jpeg) => sum + jpeg.length, 0);
const pageCount = pdf.toString('latin1').match(/\/Type \/Page\n/g)?.length ?? 0;
console.log(
  [
    `${pageCount} pages, ${pictures.size} photos of ${megabytes(photoBytes)}; record ${megabytes(pdf.length)}, ${(pdf.length / photoBytes).toFixed(2)} times as large: ${megabytes(pdf.length - photoBytes)} beside them`,
    `memory of the process: ${megabytes(before.now)} ahead of the issue (${megabytes(before.most)} at most until then), ${megabytes(mostHeld())} at most with it`,
  ].join('\n'),
);

describe('a record with twenty photos', () => {
  bench('issued: composed, drawn, with its attachments, signed, and looked at again', async () => {
    await issue();
  });
  bench('its tagged pages drawn alone, unsigned and without attachments', async () => {
    await drawPdf(pages, photos, []);
  });
});

const played = await playedRecord(playedSigner());

describe('a record verified', () => {
  bench('its signature, its logbook and what it was composed from', async () => {
    await verifyRecord(played);
  });
  bench('and its pages, drawn again', async () => {
    await verifyPages(played);
  });
});
