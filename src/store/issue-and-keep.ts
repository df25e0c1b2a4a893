import type { Result } from '../errors.js';
import type { Entry } from '../logbook/entry.js';
import type { Signature } from '../logbook/signature.js';
import { issueRecord } from '../record/issue-record.js';
import type { Signer } from '../record/keys.js';
import { type Asker, accept } from '../steps/accept.js';
import { assess } from '../steps/assess.js';
import { exportJob } from './export-job.js';
import type { Store } from './open-store.js';

export interface IssueWish {
  readonly job: string;
  readonly by: Asker;
  readonly key: string;
  readonly content: unknown;
  readonly signature: Signature;
}

export interface IssuedAndKept {
  readonly revision: number;
  readonly sha256: string;
  readonly pdf: Buffer;
}

/**
 * Issues the next revision of a job's record: drawn and signed first, then kept in one transaction with its entry. An
 * entry that is made meanwhile, or anything that bars the issue, is answered with what must be mended. The same form
 * sent twice gets the revision of the first time. Throws AppError `not-found`, `bad-file`, `form-key-reused`.
 */
export async function issueAndKeep(
  { store, clock, signer }: { store: Store; clock: () => Date; signer: () => Signer },
  wish: IssueWish,
): Promise<Result<IssuedAndKept>> {
  const earlier = store.logbook.writtenBefore(wish);
  if (earlier !== undefined) return { ok: true, value: kept(store, wish.job, earlier) };
  const log = store.logbook.log(wish.job);
  const assessment = assess(log);
  if (assessment === undefined || assessment.barsIssue.length > 0) {
    const bars = assessment?.barsIssue ?? ['Set the circuit first: every step follows from it.'];
    return { ok: false, issues: bars.map((message) => ({ field: 'job', message })) };
  }
  const shop = store.shop.state();
  const revision = log.issued.length + 1;
  const checker = log.described?.checker ?? '';
  const worksAlone = checker === '' || checker === log.described?.fitter;
  const { pdf, sha256, head, fingerprint } = await issueRecord({
    assessment,
    facts: {
      job: wish.job,
      shop: shop.name,
      revision,
      issuedAt: `${clock().toISOString().slice(0, 19)}Z`,
      issuedBy: wish.by.name,
      worksAlone,
      signature: wish.signature,
      units: shop.units,
      instruments: shop.instruments,
    },
    photos: (id) => store.photos.get(id)?.jpeg,
    signer: signer(),
    jobFile: exportJob(store, wish.job, { blobs: false }),
  });
  const people = shop.people.filter((p) => p.active);
  const body = {
    revision,
    sha256,
    bytes: pdf.length,
    head,
    fingerprint,
    signature: wish.signature,
    worksAlone,
  };
  const written = store.logbook.append({
    job: wish.job,
    key: wish.key,
    by: wish.by,
    content: wish.content,
    decide: (now) => accept(now, { kind: 'record issued', subject: 'job', body }, { by: wish.by, people }),
    attach: { records: [{ sha256, job: wish.job, revision, pdf }] },
  });
  if (!written.ok) return written;
  return { ok: true, value: kept(store, wish.job, written.value) };
}

function kept(store: Store, job: string, entries: readonly Entry[]): IssuedAndKept {
  const issued = entries.find((entry) => entry.kind === 'record issued');
  const revision = issued?.kind === 'record issued' ? issued.body.revision : 0;
  const record = store.records.get(job, revision);
  if (record === undefined) throw new Error(`revision ${revision} of job ${job} is not kept`);
  return { revision, sha256: record.sha256, pdf: record.pdf };
}
