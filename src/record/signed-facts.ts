import { Buffer } from 'node:buffer';
import { verify as verifySignature } from 'node:crypto';
import { attachedFacts } from './attached-data.js';
import { Broken } from './broken.js';
import { fingerprintOf, readCertificate } from './certificate.js';
import { isStrong, shopRsaBits } from './certificate-chain.js';
import { DerError, readElement } from './der.js';
import { type PdfDict, PdfError, PdfRef, type PdfString } from './pdf-value.js';
import { nameIn, type PdfFile, readPdf, textIn } from './read-pdf.js';
import type { RecordFacts } from './record-facts.js';
import { readSignedData, signedAttributes } from './signed-data.js';
import { checkTimestamp, type Timestamp, TimestampError } from './timestamp-token.js';

/** A mark that every record carries uncompressed, so that a damaged one is still called a damaged record. */
export const recordMark = 'Inlet Logbook';
const subFilter = 'ETSI.CAdES.detached';

/**
 * What a record says of itself, where its signature is right, and nothing composed again: for whoever holds many of them to
 * something else. A sentence instead where it is none, or is not intact.
 */
export function signedFacts(file: Uint8Array): RecordFacts | string {
  const bytes = Buffer.from(file.buffer, file.byteOffset, file.byteLength);
  try {
    const pdf = readPdf(bytes);
    const signed = checkSignature(bytes, pdf);
    const facts = attachedFacts(pdf);
    checkFacts(facts, signed);
    return facts;
  } catch (error) {
    const { reasons } = refusal(bytes, error);
    return reasons[0] ?? '';
  }
}

/** The answer to a file that is no record, or one that was changed. */
export interface Refusal {
  readonly state: 'not-intact' | 'not-a-record';
  readonly reasons: readonly string[];
}

/** Why a file is no record, or is one no more, in sentences. */
export function refusal(bytes: Buffer, error: unknown): Refusal {
  if (error instanceof Broken) return { state: 'not-intact', reasons: [error.message] };
  const looksLikeOne = bytes.includes(subFilter) && bytes.includes(recordMark);
  const why =
    error instanceof PdfError || error instanceof DerError ? `It ${error.message}.` : 'It cannot be read.';
  return looksLikeOne
    ? { state: 'not-intact', reasons: [`The file was changed after it was issued. ${why}`] }
    : { state: 'not-a-record', reasons: [`The file is not a record. ${why}`] };
}

/** The one signature dictionary, found as a reader of PDFs finds it. */
function signatureOf(pdf: PdfFile): PdfDict {
  const form = pdf.dict(pdf.root.get('AcroForm'), 'a signature');
  const fields = pdf.resolve(form.get('Fields'));
  if (!Array.isArray(fields) || fields.length !== 1)
    throw new PdfError('does not have exactly one signature');
  const field = pdf.dict(fields[0], 'a signature');
  const signature = pdf.dict(field.get('V'), 'a signature');
  if (nameIn(field, 'FT') !== 'Sig' || nameIn(signature, 'SubFilter') !== subFilter)
    throw new PdfError('is not signed the way records are');
  const permitted = pdf.dict(pdf.root.get('Perms'), 'the mark that permits no change').get('DocMDP');
  const same = permitted instanceof PdfRef && permitted.id === (field.get('V') as PdfRef).id;
  if (!same || signature.has('Cert') || !permitsNothing(pdf, signature))
    throw new PdfError('is not certified the way records are');
  return signature;
}

/** The signature certifies, and permits no change of any kind. */
function permitsNothing(pdf: PdfFile, signature: PdfDict): boolean {
  const references = pdf.resolve(signature.get('Reference'));
  if (!Array.isArray(references) || references.length !== 1) return false;
  const reference = pdf.dict(references[0], 'what its signature permits');
  const parameters = pdf.dict(reference.get('TransformParams'), 'what its signature permits');
  return nameIn(reference, 'TransformMethod') === 'DocMDP' && parameters.get('P') === 1;
}

export interface Signed {
  readonly fingerprint: string;
  readonly rootFingerprint: string;
  readonly at: Date;
  readonly timestamp: Timestamp | undefined;
}

/** Who signed a record and when, where its signature is right and over every byte. Throws PdfError, DerError or Broken. */
export function checkSignature(bytes: Buffer, pdf: PdfFile): Signed {
  const signature = signatureOf(pdf);
  const contents = textIn(signature, 'Contents');
  const at = signingTime(textIn(signature, 'M'));
  if (!contents || !at) throw new PdfError('has a signature without content or time');
  if (!coversAll(signature, contents, bytes.length))
    throw new Broken('The signature does not cover the whole file.');
  const covered = [bytes.subarray(0, contents.from), bytes.subarray(contents.to)];
  const cms = readElement(contents.bytes).whole;
  if (contents.bytes.subarray(cms.length).some((byte) => byte !== 0))
    throw new Broken('There is something behind the signature where nothing may be.');
  const parts = readSignedData(cms);
  const leaf = readCertificate(parts.leaf);
  if (!parts.attributes.equals(signedAttributes(covered, parts.leaf)))
    throw new Broken('The file was changed after it was signed: its digest is another one.');
  if (!verifySignature('sha256', parts.attributes, leaf.parsed.publicKey, parts.signature))
    throw new Broken('The signature was not made by the certificate in the file.');
  if (leaf.parsed.ca || leaf.parsed.publicKey.asymmetricKeyDetails?.namedCurve !== 'prime256v1')
    throw new Broken('The certificate in the file is none that signs records.');
  const chain = [leaf, ...parts.between.map(readCertificate), readCertificate(parts.root)];
  if (chain.some(({ parsed }) => !isStrong(parsed.publicKey, shopRsaBits)))
    throw new Broken('A certificate above the signer’s has a weak key.');
  if (chain.some(({ notBefore, notAfter }) => at < notBefore || at > notAfter))
    throw new Broken('The record was signed at a time for which its certificate does not hold.');
  return {
    fingerprint: fingerprintOf(parts.leaf),
    rootFingerprint: fingerprintOf(parts.root),
    at,
    timestamp: parts.timestamp && timestampOver(parts.signature, parts.timestamp, at),
  };
}

/** A record is written whole, its timestamp with it: one that does not hold was put there later, or changed. */
function timestampOver(signature: Buffer, token: Buffer, at: Date): Timestamp {
  try {
    return checkTimestamp({ token, signature, at });
  } catch (error) {
    if (error instanceof TimestampError || error instanceof DerError)
      throw new Broken(`The timestamp in the file does not hold: it ${error.message}.`);
    throw error;
  }
}

function coversAll(signature: PdfDict, contents: PdfString, size: number): boolean {
  const range = signature.get('ByteRange');
  const whole = [0, contents.from, contents.to, size - contents.to];
  return Array.isArray(range) && range.length === 4 && whole.every((n, k) => range[k] === n);
}

function signingTime(text: PdfString | undefined): Date | undefined {
  const found = /^D:(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)Z$/.exec(text?.bytes.toString('latin1') ?? '');
  if (!found) return undefined;
  const [, year, month, day, hour, minute, second] = found;
  const at = new Date(`${year}-${month}-${day}T${hour}:${minute}:${second}Z`);
  return Number.isNaN(at.getTime()) ? undefined : at;
}

/** Throws Broken where a record says of itself what its signature does not. */
export function checkFacts(facts: RecordFacts, signed: Signed): void {
  if (facts.fingerprint !== signed.fingerprint || facts.rootFingerprint !== signed.rootFingerprint)
    throw new Broken('The record names another signer than the one who signed it.');
  if (new Date(facts.issuedAt).getTime() !== signed.at.getTime())
    throw new Broken('The record says another time than its signature.');
}
