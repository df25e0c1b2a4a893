import { clockSteps, clockStepText } from '../../logbook/clock-steps.js';
import { type TimeZone, zoneNote } from '../../logbook/time-zone.js';
import type { Assessment } from '../../steps/assessment.js';
import { grouped } from '../grouped.js';
import { type Block, heading, list, paragraph, type Section } from './block.js';
import type { RecordInput } from './record-input.js';
import { spelledDay } from './when.js';

/** How a stranger finds out that this file is as it was issued, without asking anyone's leave. */
export function checkSection(job: Assessment, input: RecordInput): Section {
  const entries = job.log.entries;
  return {
    title: 'How to check this record',
    blocks: [
      paragraph(
        'This file carries a signature over every byte of it. One changed byte, or anything added behind it, and the checks below say so. They say nothing about the wiring.',
      ),
      list([
        'A PDF reader shows the signature and calls its signer unknown until the shop’s root certificate is imported. What names the shop is the signer’s fingerprint: compare it with the one the shop gives you before trusting either.',
        'With poppler’s tools, “Signature is Valid” and “Total document signed” must both appear:',
      ]),
      { kind: 'code', lines: ['pdfsig RECORD.pdf'] },
      list(['With this project’s own tool, which also reads the attached logbook:']),
      { kind: 'code', lines: ['inlet-logbook verify RECORD.pdf --fingerprint SIGNER-FINGERPRINT'] },
      list([
        'With openssl, after cutting the signature out of the file (the signed bytes are those of the ByteRange, the signature is the hexadecimal text between them). The first line takes the certificates out of it, whose fingerprints are to be those that the shop gives you:',
      ]),
      {
        kind: 'code',
        lines: [
          'openssl cms -cmsout -noout -inform DER -in signature.der -certsout root.pem',
          'openssl cms -verify -binary -inform DER -cades -purpose any \\',
          '  -CAfile root.pem -content signed-bytes -in signature.der',
        ],
      },
      heading('Fingerprints and logbook'),
      {
        kind: 'pairs',
        rows: [
          ['Signer (SHA-256)', grouped(input.fingerprint)],
          ['Root (SHA-256)', grouped(input.rootFingerprint)],
          ['Entries, newest digest', `${entries.length}: ${grouped(entries.at(-1)?.digest ?? '')}`],
          [
            'Attached',
            'job.json (the logbook), readings.csv and readings.json, record.json with its schema (this record for a machine)',
          ],
        ],
      } satisfies Block,
      ...keyChange(input),
      ...clockBlocks(job, input.zone),
    ],
  };
}

/** A new key is announced where the old one is known: the stranger who holds the old fingerprint learns what the record says of it. */
function keyChange({ formerKeys = [], fingerprint }: RecordInput): Block[] {
  if (formerKeys.length === 0) return [];
  return [
    heading('The shop’s earlier keys'),
    paragraph(
      `This shop signs with ${grouped(fingerprint)} now. That is what the record says of itself, and no proof: whoever holds an earlier fingerprint asks the shop, by a way that they know, whether it made a new key.`,
    ),
    list(
      formerKeys.map(
        (k) => `${grouped(k.fingerprint)}: signed from ${spelledDay(k.from)} until ${spelledDay(k.until)}`,
      ),
    ),
  ];
}

/** Entries stand in the order of their numbers; where the clock went back their times do not say that order. */
function clockBlocks({ log }: Assessment, zone: TimeZone): Block[] {
  const steps = clockSteps(log.entries);
  if (steps.length === 0) return [];
  return [
    paragraph(
      `Entries stand in the order of their numbers. Times are by the clock of the shop’s server. ${zoneNote(zone)}`,
    ),
    list(steps.map(clockStepText)),
  ];
}
