import { Buffer } from 'node:buffer';
import { attachedData, type ComposedAgain, type RecomposedRecord } from './compose-again.js';
import type { PagesRead } from './draw-again.js';
import { type PdfFile, readPdf } from './read-pdf.js';
import type { RecordFacts } from './record-facts.js';
import { checkFacts, checkSignature, type Refusal, refusal, type Signed } from './signed-facts.js';
import type { Timestamp } from './timestamp-token.js';

/**
 * The answer to "is this a record, and is it as it was issued?". `reasons` are sentences for a person.
 * `signer`: known means its fingerprint was asked for or is among the known ones. `another-signer` is an intact file
 * that someone else than the asked-for signer signed. Nothing here says anything about the wiring.
 */
export type Verification =
  | {
      /** `other-pages` is the answer of `verifyPages` alone: an intact file whose pages do not read as the data attached to it. */
      readonly state: 'intact' | 'another-signer' | 'other-pages';
      readonly signer: 'known' | 'unknown';
      readonly facts: RecordFacts;
      readonly fingerprint: string;
      readonly rootFingerprint: string;
      /** Where an authority put its own time on the signature. Who the authority is, is for the reader to know. */
      readonly timestamp?: Timestamp;
      /** Whether the attached logbook still gives what the pages were drawn from. */
      readonly composedAgain: ComposedAgain;
      /** What came of drawing the pages again; only where that was asked for. */
      readonly pages?: PagesRead;
      readonly reasons: readonly string[];
    }
  | Refusal;

export interface Expectation {
  /** SHA-256 of the signer's certificate or of the shop's root: another signer is then an answer of its own. */
  readonly fingerprint?: string | undefined;
  readonly knownFingerprints?: readonly string[] | undefined;
}

/**
 * Judges the bytes of a file. Never throws for what they hold. Intact asks: one signature, over every byte of the file,
 * written as records write it, by a certificate under the root beside it, whose digest and signature are right.
 * @source ETSI EN 319 142-1 baseline B-B; ISO 32000-1 12.8
 */
export async function verifyRecord(file: Uint8Array, expected: Expectation = {}): Promise<Verification> {
  return examine(file, expected).seen;
}

/** An answer, with what was read on the way to it where the file is a record. */
export interface Examined {
  readonly seen: Verification;
  readonly pdf?: PdfFile;
  readonly recomposed?: RecomposedRecord;
}

/** As `verifyRecord`, for whoever looks at the pages as well. */
export function examine(file: Uint8Array, expected: Expectation = {}): Examined {
  const bytes = Buffer.from(file.buffer, file.byteOffset, file.byteLength);
  if (bytes.length === 0) return { seen: { state: 'not-a-record', reasons: ['The file is empty.'] } };
  try {
    const pdf = readPdf(bytes);
    const signed = checkSignature(bytes, pdf);
    const { facts, recomposed } = attachedData(pdf);
    checkFacts(facts, signed);
    const composedAgain = recomposed.reads;
    return { seen: answer({ facts, composedAgain, signed }, expected), pdf, recomposed };
  } catch (error) {
    return { seen: refusal(bytes, error) };
  }
}

interface Found {
  readonly facts: RecordFacts;
  readonly composedAgain: ComposedAgain;
  readonly signed: Signed;
}

function answer({ facts, composedAgain, signed }: Found, expected: Expectation): Verification {
  const { fingerprint, rootFingerprint, timestamp } = signed;
  const is = (asked: string) => [fingerprint, rootFingerprint].includes(plainHex(asked));
  const wanted = expected.fingerprint;
  const another = wanted !== undefined && !is(wanted);
  const known = !another && (wanted !== undefined || (expected.knownFingerprints ?? []).some(is));
  const byItself = [wanted, ...(expected.knownFingerprints ?? [])].some(
    (f) => f && plainHex(f) === fingerprint,
  );
  // A name and a time are anybody's to write: only of a known signer are they said as they stand.
  const unchanged = known
    ? `Every byte is as it was when ${facts.shop} issued it on ${facts.issuedAt}.`
    : `Every byte is as it was signed. It calls its shop ${facts.shop} and its time ${facts.issuedAt}, which any signer could write.`;
  const who = another
    ? 'It was signed by someone else than the signer asked for.'
    : known
      ? byItself
        ? 'The signer is known.'
        : 'The signer is known by its root; whoever else that root signs for would be too.'
      : 'The signer is unknown here: compare the fingerprint with the one that the shop gives you.';
  return {
    state: another ? 'another-signer' : 'intact',
    signer: known ? 'known' : 'unknown',
    facts,
    fingerprint,
    rootFingerprint,
    ...(timestamp === undefined ? {} : { timestamp }),
    composedAgain,
    reasons: [
      unchanged,
      who,
      ...(another ? formerKeyWords(facts, plainHex(wanted)) : []),
      ...(timestamp === undefined ? [] : [stamped(timestamp)]),
      ...(composedAgain === 'not-said' ? [] : [composedWords[composedAgain]]),
    ],
  };
}

/** What the record says of the key that was asked for, where it names it: said, and not proven. */
function formerKeyWords({ composed, shop }: RecordFacts, wanted: string): string[] {
  const former = composed?.formerKeys?.find((k) => k.fingerprint === wanted);
  if (former === undefined) return [];
  return [
    `The record says of itself that ${shop} signed with the key asked for until ${former.until}, and with this one since. Anybody could write that, so it proves nothing: ask the shop, by a way that you know, for its new fingerprint.`,
  ];
}

const composedWords = {
  same: 'Composed again from the logbook attached to it, it reads the same.',
  different:
    'Composed again from the logbook attached to it, it reads differently here: another version of this tool made it, or none.',
};

function stamped({ authority, at, fingerprint }: Timestamp): string {
  return `Timestamp by ${authority} at ${at}: the signature was there by then, on the word of whoever holds the certificate ${fingerprint}.`;
}

/** A fingerprint as people write it: colons, spaces and capitals do not count. */
export function plainHex(fingerprint: string): string {
  return fingerprint.replace(/[\s:]/g, '').toLowerCase();
}
