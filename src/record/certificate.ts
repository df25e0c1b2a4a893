import { Buffer } from 'node:buffer';
import { createHash, type KeyObject, randomBytes, sign, X509Certificate } from 'node:crypto';
import { sha256Of } from '../logbook/sha256.js';
import {
  bits,
  context,
  type DerElement,
  DerError,
  element,
  integer,
  members,
  octets,
  oid,
  readElement,
  sequence,
  tags,
  time,
  truth,
  utf8,
} from './der.js';

export const ecdsaSha256 = sequence(oid('1.2.840.10045.4.3.2'));

const nothing = Buffer.from([0x05, 0x00]);
/** ECDSA with SHA-256, -384, -512 and RSA (PKCS #1 v1.5) with the same: what a certificate may be signed with. */
const signedWith = [
  ecdsaSha256,
  ...['1.2.840.10045.4.3.3', '1.2.840.10045.4.3.4'].map((id) => sequence(oid(id))),
  ...[11, 12, 13].map((n) => sequence(oid(`1.2.840.113549.1.1.${n}`), nothing)),
];

/** What a certificate is to say. Names are kept to the 64 characters that X.520 allows. */
interface CertificateRequest {
  readonly subject: { readonly name: string; readonly organization: string };
  readonly issuer: { readonly name: string; readonly organization: string };
  readonly publicKey: KeyObject;
  readonly issuerKey: KeyObject;
  readonly issuerPublicKey: KeyObject;
  readonly from: Date;
  readonly years: number;
  readonly use: 'root' | 'records';
}

/** An X.509 certificate (DER), signed with ECDSA and SHA-256. @source RFC 5280 section 4 */
export function makeCertificate(request: CertificateRequest): Buffer {
  const until = new Date(request.from);
  until.setUTCFullYear(until.getUTCFullYear() + request.years);
  const body = sequence(
    context(0, integer(Buffer.from([2]))),
    serialNumber(),
    ecdsaSha256,
    distinguishedName(request.issuer),
    sequence(time(request.from), time(until)),
    distinguishedName(request.subject),
    request.publicKey.export({ type: 'spki', format: 'der' }),
    context(3, sequence(...extensions(request))),
  );
  return sequence(body, ecdsaSha256, bits(sign('sha256', body, request.issuerKey)));
}

/** What a signature needs of a certificate: the issuer's name and the serial number, as they are encoded. */
export interface CertificateParts {
  readonly parsed: X509Certificate;
  readonly extensions: readonly Extension[];
  readonly issuer: Buffer;
  readonly serial: Buffer;
  readonly notBefore: Date;
  readonly notAfter: Date;
}

interface Extension {
  readonly id: Buffer;
  readonly critical: boolean;
  readonly value: Buffer;
}

/** Reads a certificate strictly: one DER form, a signature that is not weak, nothing left over. Throws DerError else. */
export function readCertificate(der: Buffer): CertificateParts {
  const outer = readElement(der);
  const [body, algorithm, signature, ...more] = members(outer);
  if (!body || !algorithm || !signature || more.length > 0 || outer.whole.length !== der.length)
    throw new DerError('is not a certificate');
  const [, serial, inner, issuer, ...rest] = members(body);
  if (!serial || !inner || !issuer) throw new DerError('is not a certificate');
  const asWritten = sequence(body.whole, inner.whole, bits(signature.content.subarray(1)));
  if (!asWritten.equals(der) || !signedWith.some((known) => known.equals(inner.whole)))
    throw new DerError('is not a certificate of the kind that records carry');
  const parsed = parse(der);
  return {
    parsed,
    extensions: extensionsIn(rest.find(({ tag }) => tag === 0xa3)),
    issuer: issuer.whole,
    serial: serial.whole,
    notBefore: new Date(parsed.validFrom),
    notAfter: new Date(parsed.validTo),
  };
}

function extensionsIn(wrapped: DerElement | undefined): Extension[] {
  const list = wrapped === undefined ? undefined : members(wrapped)[0];
  if (list === undefined) return [];
  return members(list).map((extension) => {
    const [id, ...parts] = members(extension);
    const value = parts.at(-1);
    if (!id || !value) throw new DerError('is not a certificate');
    return {
      id: id.whole,
      critical: parts.length > 1 && parts[0]!.content[0] === 0xff,
      value: value.content,
    };
  });
}

/** Whether `readCertificate` takes it. */
export function isCertificate(certificate: Buffer): boolean {
  try {
    readCertificate(certificate);
    return true;
  } catch (error) {
    if (error instanceof DerError) return false;
    throw error;
  }
}

/** SHA-256 of the certificate, 64 hexadecimal digits: the number by which a signer is known. */
export function fingerprintOf(der: Uint8Array): string {
  return sha256Of(der);
}

function parse(der: Buffer): X509Certificate {
  try {
    return new X509Certificate(der);
  } catch {
    throw new DerError('is not a certificate');
  }
}

/** 16 random bytes, positive and never zero. */
export function serialNumber(): Buffer {
  const bytes = randomBytes(16);
  bytes[0] = (bytes[0]! & 0x3f) | 0x40;
  return integer(bytes);
}

function distinguishedName({ name, organization }: CertificateRequest['subject']): Buffer {
  const part = (id: string, text: string) => element(tags.set, sequence(oid(id), utf8(text)));
  return sequence(part('2.5.4.10', organization), part('2.5.4.3', name));
}

/** One extension of a certificate, by its object identifier. @source RFC 5280 4.2 */
export function extension(id: string, critical: boolean, value: Buffer): Buffer {
  return sequence(oid(id), ...(critical ? [truth()] : []), octets(value));
}

/** What the key may do: the bits set in `byte`, of which the last `unused` say nothing. @source RFC 5280 4.2.1.3 */
export function keyUsage(unused: number, byte: number): Buffer {
  return extension('2.5.29.15', true, element(tags.bits, Buffer.from([unused, byte])));
}

function extensions({ use, publicKey, issuerPublicKey }: CertificateRequest): Buffer[] {
  const subjectKey = extension('2.5.29.14', false, octets(keyIdentifier(publicKey)));
  if (use === 'root')
    return [
      extension('2.5.29.19', true, sequence(truth(), integer(Buffer.from([0])))),
      // keyCertSign, cRLSign
      keyUsage(1, 0x06),
      subjectKey,
    ];
  return [
    extension('2.5.29.19', true, sequence()),
    // digitalSignature, nonRepudiation
    keyUsage(6, 0xc0),
    // emailProtection and document signing (RFC 9336)
    extension('2.5.29.37', false, sequence(oid('1.3.6.1.5.5.7.3.4'), oid('1.3.6.1.5.5.7.3.36'))),
    subjectKey,
    extension('2.5.29.35', false, sequence(element(0x80, keyIdentifier(issuerPublicKey)))),
  ];
}

/** SHA-1 of the public key's bits: a name for the key, not a protection. @source RFC 5280 4.2.1.2 (1) */
export function keyIdentifier(key: KeyObject): Buffer {
  const spki = readElement(key.export({ type: 'spki', format: 'der' }));
  return createHash('sha1').update(members(spki)[1]!.content.subarray(1)).digest();
}
