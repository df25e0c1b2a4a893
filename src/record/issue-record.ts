import { AppError } from '../errors.js';
import { chainStart } from '../logbook/chain.js';
import { sha256Of } from '../logbook/sha256.js';
import type { Assessment } from '../steps/assessment.js';
import { rulesVersion } from '../trade/rules-version.js';
import { attachmentsOf } from './attached-files.js';
import { documentDigest } from './compose-again.js';
import type { NamedInstrument, RecordInput } from './document/record-input.js';
import { type RecordDocument, recordDocument } from './document.js';
import type { PhotoBytes } from './draw/photos.js';
import { drawPdf } from './draw-pdf.js';
import { drawingVersion } from './drawing-version.js';
import { mustHoldAt, type Signer } from './keys.js';
import type { RecordFacts } from './record-facts.js';
import { signPdf } from './sign-pdf.js';
import { type StampedRecord, stampPdf } from './stamp-pdf.js';
import type { TimestampAuthority } from './timestamp-authority.js';

/** What the issuer says; the signer's fingerprints and the rules are put in by themselves. */
export type IssueFacts = Omit<RecordInput, 'fingerprint' | 'rootFingerprint' | 'rules'>;

export interface IssueRequest {
  readonly assessment: Assessment;
  readonly facts: IssueFacts;
  readonly photos: PhotoBytes;
  readonly signer: Signer;
  /** The job as it is exported (without its photos), attached as job.json; it must hold `entries`. */
  readonly jobFile: string;
  /** Asked for a timestamp on the signature; without its answer the record is issued all the same. */
  readonly authority?: TimestampAuthority | undefined;
}

/** The signed record. `sha256` (hex) is over the whole file; `head` is the logbook's newest digest that it was made from. */
export interface IssuedRecord extends StampedRecord {
  readonly sha256: string;
  readonly head: string;
  readonly fingerprint: string;
}

/**
 * Draws and signs the record of a job, and looks at it before it is given away; storing it is the caller's. Throws AppError
 * `out-of-order` naming everything that bars the issue, or a certificate that has ended, `bad-file` where a photo is missing.
 */
export async function issueRecord(request: IssueRequest): Promise<IssuedRecord> {
  const { assessment, facts: given, photos, signer, jobFile, authority } = request;
  const facts = { ...given, instruments: (given.instruments ?? []).map(named) };
  if (assessment.barsIssue.length > 0)
    throw new AppError('out-of-order', 'The record cannot be issued yet.', {
      issues: assessment.barsIssue.map(({ text }) => ({ field: 'job', message: text })),
    });
  mustHoldAt(signer, new Date(facts.issuedAt));
  const { fingerprint, rootFingerprint } = signer;
  const record = recordDocument(assessment, { ...facts, fingerprint, rootFingerprint, rules: rulesVersion });
  const said = recordFacts(record, { ...request, facts });
  const draft = await drawPdf(record, photos, attachmentsOf(assessment, said, jobFile));
  const pdf = await signPdf(draft, signer);
  const { issuedAt } = facts;
  const stamped = authority === undefined ? { pdf } : await stampPdf({ pdf, issuedAt }, authority);
  const sha256 = sha256Of(stamped.pdf);
  return { ...stamped, sha256, head: said.head, fingerprint };
}

/** No more of an instrument than a record prints. */
function named({ id, name, kind, serial, calibrated }: NamedInstrument): NamedInstrument {
  return { id, name, ...(kind === undefined ? {} : { kind }), serial, calibrated };
}

function recordFacts(record: RecordDocument, { assessment, facts, signer }: IssueRequest): RecordFacts {
  const { entries } = assessment.log;
  return {
    format: 'inlet-record/1',
    job: record.job,
    revision: record.revision,
    issuedAt: record.issuedAt,
    issuedBy: facts.issuedBy,
    shop: record.shop,
    van: record.van,
    entries: entries.length,
    head: entries.at(-1)?.digest ?? chainStart,
    rules: rulesVersion,
    drawing: drawingVersion,
    fingerprint: signer.fingerprint,
    rootFingerprint: signer.rootFingerprint,
    composed: {
      worksAlone: facts.worksAlone,
      ...(facts.formerKeys === undefined ? {} : { formerKeys: [...facts.formerKeys] }),
      ...(facts.elsewhere === undefined
        ? {}
        : { elsewhere: { ...facts.elsewhere, names: [...facts.elsewhere.names] } }),
      ...(facts.reason === undefined ? {} : { reason: facts.reason }),
      ...(facts.reach ? { reach: facts.reach } : {}),
      keyForOccasion: facts.keyForOccasion ?? false,
      units: facts.units,
      ...(facts.zone === 'UTC' ? {} : { zone: facts.zone }),
      signature: facts.signature,
      instruments: [...(facts.instruments ?? [])],
      digest: documentDigest(record),
    },
  };
}
