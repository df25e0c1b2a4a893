import type { Assessment } from '../../steps/assessment.js';
import { grouped } from '../grouped.js';
import { type Block, heading, paragraph, type Section, type SignatureBlock } from './block.js';
import type { RecordInput } from './record-input.js';
import { spelledTime } from './when.js';

/** The drawn signatures: who, when, and what each means. The owner's comes after the issue, and so into the logbook. */
export function signatureSection(job: Assessment, input: RecordInput): Section {
  const look = job.log.secondLooks.at(-1);
  const issuer: SignatureBlock = {
    meaning: 'Issues this record and says that its entries are what was done and read.',
    signature: input.signature,
    at: spelledTime(input.issuedAt, input.zone, true),
  };
  const checker: SignatureBlock[] = look
    ? [{ meaning: look.body.statement, signature: look.body.signature, at: spelledTime(look.at, input.zone) }]
    : [];
  const acknowledged = job.log.acknowledged.map(
    (a) =>
      `${a.body.signature.name} acknowledged revision ${a.body.revision} on ${spelledTime(a.at, input.zone)}.`,
  );
  return {
    title: 'Signatures',
    blocks: [
      { kind: 'signatures', signatures: [issuer, ...checker] },
      ...(input.worksAlone ? [paragraph('There is no second signature: the fitter worked alone.')] : []),
      paragraph(
        'The owner’s acknowledgement is given after the issue and kept in the logbook; it is not needed for this record to stand.',
        'muted',
      ),
      ...acknowledged.map((text): Block => paragraph(text)),
      heading('Digital signature'),
      seal(input),
    ],
  };
}

/** What the signature over the whole file says; the names above were drawn or typed, this is computed. */
function seal(input: RecordInput): Block {
  return {
    kind: 'seal',
    at: input.issuedAt,
    name: input.shop,
    reason: `Record of job ${input.job}, revision ${input.revision}`,
    lines: [
      `${input.shop} signed every byte of this file with its key, ${spelledTime(input.issuedAt, input.zone, true)}.`,
      'No change is permitted after it. How to check it stands in the next section.',
      `Signer (SHA-256) ${grouped(input.fingerprint)}`,
    ],
  };
}
