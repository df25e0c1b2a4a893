import sharp from 'sharp';
import { recordDocument } from '../../src/record/document.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { issueRecord } from '../../src/record/issue-record.js';
import { verifyPages } from '../../src/record/verify-pages.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { playedRecord, playedSigner } from '../record/played-record.js';
import { sampleJob } from '../record/sample-job.js';
import { sampleFacts, sampleRequest } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';
import { type Measure, timed } from './row.js';

/** As many photos as a middling job has, as large as a phone's are once they were taken in. */
const count = 20;

/** A record issued, beside its tagged pages drawn alone; and verified, beside what pdfsig takes for the same. */
export const record: Measure = async () => {
  const signer = testSigner();
  const request = await sampleRequest(signer, { photos: count });
  const pictures = new Map<string, Buffer>();
  for (const { body } of (await sampleJob({ photos: count })).log.photos)
    pictures.set(body.photo, await picture(pictures.size));
  const photos = (id: string) => pictures.get(id);
  const { fingerprint, rootFingerprint } = signer;
  const pages = recordDocument(request.assessment, { ...sampleFacts, fingerprint, rootFingerprint });
  const { pdf } = await issueRecord({ ...request, photos });
  const most = process.resourceUsage().maxRSS * 1024;
  const issued = await timed(() => issueRecord({ ...request, photos }));
  const drawn = await timed(() => drawPdf(pages, photos, []));
  const photoBytes = [...pictures.values()].reduce((sum, jpeg) => sum + jpeg.length, 0);
  const pageCount = pdf.toString('latin1').match(/\/Type \/Page\n/g)?.length ?? 0;

  const played = await playedRecord(playedSigner());
  const { file } = filesIn({ file: played });
  const signature = await timed(() => verifyRecord(played));
  const whole = await timed(() => verifyPages(played), { runs: 3, warm: 1 });
  const pdfsig = await timed(() => runTool('pdfsig', [file]));
  return [
    {
      what: `issuing a record of ${pageCount} pages and ${count} photos`,
      beside: 'pdfkit drawing the same tagged pages unsigned',
      figures: `${issued.toFixed(0)} and ${drawn.toFixed(0)} ms; ${mb(pdf.length)}, ${(pdf.length / photoBytes).toFixed(2)} times its photos`,
      ratio: issued / drawn,
      mark: { atMost: 1.3 },
    },
    {
      what: 'the most that this process held while issuing it',
      beside: '400 MB',
      figures: mb(most),
      ratio: most / 1024 / 1024 / 400,
      mark: { atMost: 1 },
    },
    {
      what: 'verifying a record in process: signature, logbook, what it was composed from',
      beside: 'pdfsig',
      figures: `${signature.toFixed(0)} and ${pdfsig.toFixed(0)} ms; with its pages drawn again ${whole.toFixed(0)} ms`,
      ratio: signature / pdfsig,
      mark: { atMost: 1 },
    },
  ];
};

const mb = (bytes: number) => `${(bytes / 1024 / 1024).toFixed(1)} MB`;

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
