import { recordDocument } from '../../src/record/document.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { issueRecord } from '../../src/record/issue-record.js';
import { signedFacts } from '../../src/record/signed-facts.js';
import { verifyPages } from '../../src/record/verify-pages.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { playedRecord, playedSigner } from '../record/played-record.js';
import { sampleJob } from '../record/sample-job.js';
import { sampleInput, sampleRequest } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';
import { type Measure, timed, timedInTurns } from './row.js';
import { picture } from './served/pictures.js';

/** As many photos as a middling job has, as large as a phone's are once they were taken in. */
const count = 20;

/** A record issued, beside its tagged pages drawn alone; and verified, its signature alone as pdfsig does and looked through as `verify` does, beside pdfsig. */
export const record: Measure = async () => {
  const signer = testSigner();
  const request = await sampleRequest(signer, { photos: count });
  const pictures = new Map<string, Buffer>();
  for (const { body } of (await sampleJob({ photos: count })).log.photos)
    pictures.set(body.photo, await picture(pictures.size));
  const photos = (id: string) => pictures.get(id);
  const { fingerprint, rootFingerprint } = signer;
  const pages = recordDocument(request.assessment, { ...sampleInput, fingerprint, rootFingerprint });
  const { pdf } = await issueRecord({ ...request, photos });
  const [issued = 0, drawn = 0] = await timedInTurns([
    () => issueRecord({ ...request, photos }),
    () => drawPdf(pages, photos, []),
  ]);
  const photoBytes = [...pictures.values()].reduce((sum, jpeg) => sum + jpeg.length, 0);
  const pageCount = pdf.toString('latin1').match(/\/Type \/Page\n/g)?.length ?? 0;

  const played = await playedRecord(playedSigner());
  const { file } = filesIn({ file: played });
  const whole = await timed(() => verifyPages(played), { runs: 3, warm: 1 });
  if (typeof signedFacts(played) === 'string') throw new Error('the record does not hold');
  const [signature = 0, lookedThrough = 0, pdfsig = 0] = await timedInTurns([
    () => signedFacts(played),
    () => verifyRecord(played),
    () => runTool('pdfsig', [file]),
  ]);
  return [
    {
      what: `issuing a record of ${pageCount} pages and ${count} photos`,
      beside: 'pdfkit drawing the same tagged pages unsigned',
      figures: `${issued.toFixed(0)} and ${drawn.toFixed(0)} ms; ${mb(pdf.length)}, ${(pdf.length / photoBytes).toFixed(2)} times its photos`,
      ratio: issued / drawn,
      mark: { atMost: 1.3 },
    },
    {
      what: 'verifying a record’s signature in process, its chain and that it covers every byte',
      beside: 'pdfsig',
      figures: `${signature.toFixed(0)} and ${pdfsig.toFixed(0)} ms`,
      ratio: signature / pdfsig,
      mark: { atMost: 1 },
    },
    {
      what: 'looking through a record in process: signature, logbook, what it was composed from',
      beside: 'pdfsig, which looks at the signature alone',
      figures: `${lookedThrough.toFixed(0)} and ${pdfsig.toFixed(0)} ms; with its pages drawn again ${whole.toFixed(0)} ms`,
      ratio: lookedThrough / pdfsig,
      mark: { atMost: 1 },
    },
  ];
};

const mb = (bytes: number) => `${(bytes / 1024 / 1024).toFixed(1)} MB`;
