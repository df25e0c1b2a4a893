import type { EntryBody } from '../logbook/entry.js';
import type { Shop } from '../logbook/fold-shop.js';
import { keyTerms } from '../logbook/key-terms.js';
import type { Signature } from '../logbook/signature.js';
import type { FormerKey } from '../record/document/record-input.js';
import { issueRecord } from '../record/issue-record.js';
import { timestampSentence } from '../record/stamp-pdf.js';
import { exportJob } from '../store/export-job.js';
import type { JobAt } from './job-at.js';
import type { Services } from './services.js';

/**
 * Draws and signs the next revision of a job's record; `timestamp` says in a sentence what came of asking for one. Nothing is
 * stored: that is one transaction of the caller's.
 */
export async function issueJob(
  { store, clock, signer, authority }: Pick<Services, 'store' | 'clock' | 'signer' | 'authority'>,
  { number, log, job }: JobAt & { job: NonNullable<JobAt['job']> },
  wish: { readonly by: string; readonly signature: Signature; readonly reason?: string | undefined },
): Promise<{ pdf: Buffer; body: EntryBody<'record issued'>; timestamp: string }> {
  const shop = store.shop.state();
  const revision = log.issued.length + 1;
  const checker = log.described?.checker ?? '';
  const worksAlone = checker === '' || checker === log.described?.fitter;
  const issued = await issueRecord({
    assessment: job,
    facts: {
      job: number,
      shop: shop.name,
      revision,
      issuedAt: `${clock().toISOString().slice(0, 19)}Z`,
      issuedBy: wish.by,
      worksAlone,
      ...formerKeys(shop),
      ...(wish.reason === undefined ? {} : { reason: wish.reason }),
      signature: wish.signature,
      units: shop.units,
      instruments: shop.instruments,
    },
    photos: (id) => store.photos.get(id)?.jpeg,
    signer: signer(),
    authority,
    jobFile: exportJob(store, number, { blobs: false }),
  });
  const { pdf, sha256, head, fingerprint } = issued;
  return {
    pdf,
    timestamp: timestampSentence(issued),
    body: {
      revision,
      sha256,
      bytes: pdf.length,
      head,
      fingerprint,
      signature: wish.signature,
      worksAlone,
      ...(wish.reason === undefined ? {} : { reason: wish.reason }),
    },
  };
}

/** The keys before the one in force, for the record to announce it; nothing where there was no other. */
function formerKeys(shop: Shop): { formerKeys?: FormerKey[] } {
  const former = keyTerms(shop).flatMap(({ fingerprint, from, until }) =>
    until === undefined ? [] : [{ fingerprint, from: from.slice(0, 10), until: until.slice(0, 10) }],
  );
  return former.length === 0 ? {} : { formerKeys: former };
}
