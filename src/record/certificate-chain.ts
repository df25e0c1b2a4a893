import type { Buffer } from 'node:buffer';
import type { KeyObject, X509Certificate } from 'node:crypto';
import { readCertificate } from './certificate.js';

/** RSA above a shop's signer has at least this many bits, as strong as P-256. @source NIST SP 800-57 part 1, table 2 */
export const shopRsaBits = 3072;

/**
 * The way from a certificate up, each signed by the next, as far as `others` reach; where two could be the issuer, the
 * one that signed itself. Throws DerError for a certificate that cannot be read.
 */
export function wayUp(leaf: Buffer, others: readonly Buffer[]): Buffer[] {
  const way = [leaf];
  const read = readOnce();
  const isRoot = (certificate: Buffer) => issuedBy(certificate, certificate, read);
  for (;;) {
    const last = way.at(-1)!;
    if (isRoot(last)) return way;
    const issuers = others.filter(
      (other) => !way.some((w) => w.equals(other)) && issuedBy(last, other, read),
    );
    const next = issuers.find(isRoot) ?? issuers[0];
    if (next === undefined) return way;
    way.push(next);
  }
}

export function signedItself(certificate: Buffer): boolean {
  return issuedBy(certificate, certificate, readOnce());
}

/** P-256, P-384, P-521, or RSA of at least so many bits. */
export function isStrong({ asymmetricKeyType, asymmetricKeyDetails }: KeyObject, rsaBits: number): boolean {
  if (asymmetricKeyType === 'rsa') return (asymmetricKeyDetails?.modulusLength ?? 0) >= rsaBits;
  return ['prime256v1', 'secp384r1', 'secp521r1'].includes(asymmetricKeyDetails?.namedCurve ?? '');
}

/** The name that a certificate goes by: its common name, or else its organization. */
export function nameOf(certificate: X509Certificate): string {
  const { CN, O } = certificate.toLegacyObject().subject as { CN?: string | string[]; O?: string | string[] };
  return [CN ?? O ?? ''].flat().join(', ').slice(0, 120);
}

function issuedBy(certificate: Buffer, issuer: Buffer, read: (der: Buffer) => X509Certificate): boolean {
  const above = read(issuer);
  return above.ca && read(certificate).checkIssued(above) && read(certificate).verify(above.publicKey);
}

/** Reads each certificate once, however often it is asked for on one way up. */
function readOnce(): (der: Buffer) => X509Certificate {
  const known = new Map<Buffer, X509Certificate>();
  return (der) => {
    const parsed = known.get(der) ?? readCertificate(der).parsed;
    known.set(der, parsed);
    return parsed;
  };
}
