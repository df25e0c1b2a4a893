import { AppError } from '../errors.js';
import type { EntryBody } from '../logbook/entry.js';
import type { Shop } from '../logbook/fold-shop.js';
import { keyTerms } from '../logbook/key-terms.js';
import type { Signature } from '../logbook/signature.js';
import { localDay } from '../logbook/time-zone.js';
import { writtenElsewhere } from '../logbook/written-elsewhere.js';
import type { FormerKey } from '../record/document/record-input.js';
import { issueRecord } from '../record/issue-record.js';
import type { Signer } from '../record/keys.js';
import { timestampSentence } from '../record/stamp-pdf.js';
import type { TimestampAuthority } from '../record/timestamp-authority.js';
import { assess } from '../steps/assess.js';
import { worksAlone } from '../steps/issue-bars.js';
import { exportJob } from './carry/export-job.js';
import type { Store } from './open-store.js';

/** Who wants which revision of a job's record issued, when (ISO 8601), and why where it is a further one. */
export interface IssueWish {
  readonly job: string;
  readonly revision: number;
  readonly at: string;
  readonly by: string;
  readonly signature: Signature;
  readonly reason?: string | undefined;
}

/** A revision that is drawn and signed and not yet written: its entry names the end of the logbook that it was drawn from. */
export interface JobIssue {
  readonly pdf: Buffer;
  readonly body: EntryBody<'record issued'>;
  /** What came of asking for a timestamp, in a sentence. */
  readonly timestamp: string;
}

/**
 * Draws and signs the next revision of a job's record from the logbook as it stands now. Nothing is stored: that is one
 * transaction of the caller's. Throws AppError `out-of-order` where something bars it or another revision is next, `bad-file` where a photo is missing.
 */
export async function issueJob(
  store: Store,
  { signer, authority }: { signer: Signer; authority?: TimestampAuthority | undefined },
  wish: IssueWish,
): Promise<JobIssue> {
  const log = store.logbook.log(wish.job);
  const assessment = assess(log);
  if (assessment === undefined)
    throw new AppError('out-of-order', 'This job has no circuit yet: describe the circuit first.');
  const shop = store.shop.state();
  const { revision } = wish;
  if (revision !== log.issued.length + 1)
    throw new AppError(
      'out-of-order',
      `Revision ${log.issued.length} was issued meanwhile: read it, and say why there is a further one.`,
    );
  const alone = worksAlone(log);
  const reason = wish.reason === undefined ? {} : { reason: wish.reason };
  const issued = await issueRecord({
    assessment,
    facts: {
      job: wish.job,
      shop: shop.name,
      reach: shop.reach,
      revision,
      issuedAt: `${wish.at.slice(0, 19)}Z`,
      issuedBy: wish.by,
      worksAlone: alone,
      ...formerKeys(shop),
      elsewhere: writtenElsewhere(log.entries, shop.people),
      ...reason,
      signature: wish.signature,
      units: shop.units,
      zone: shop.zone,
      instruments: shop.instruments,
    },
    photos: (id) => store.photos.get(id)?.jpeg,
    signer,
    authority,
    jobFile: exportJob(store, wish.job, { blobs: false }),
  });
  const { pdf, sha256, head, fingerprint } = issued;
  const { signature } = wish;
  return {
    pdf,
    timestamp: timestampSentence(issued),
    body: { revision, sha256, bytes: pdf.length, head, fingerprint, signature, worksAlone: alone, ...reason },
  };
}

/** The keys before the one in force, for the record to announce it; nothing where there was no other. */
function formerKeys(shop: Shop): { formerKeys?: FormerKey[] } {
  const former = keyTerms(shop).flatMap(({ fingerprint, from, until }) =>
    until === undefined
      ? []
      : [{ fingerprint, from: localDay(from, shop.zone), until: localDay(until, shop.zone) }],
  );
  return former.length === 0 ? {} : { formerKeys: former };
}
