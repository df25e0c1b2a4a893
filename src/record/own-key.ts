import { Buffer } from 'node:buffer';
import type { KeyObject } from 'node:crypto';
import { AppError } from '../errors.js';
import { type CertificateParts, fingerprintOf, isCertificate, readCertificate } from './certificate.js';
import { isStrong, nameOf, shopRsaBits, signedItself, wayUp } from './certificate-chain.js';
import { DerError, oid, readElement } from './der.js';
import { encrypted, isPairOf, openSigner, type ShopKeys, toPem } from './keys.js';
import { Pkcs12Error, readPkcs12 } from './pkcs12.js';
import { readSignedData } from './signed-data.js';

const mostCertificates = 6;
/** What the shop's chain takes of certificates as PEM. */
const mostPem = 8000;

/**
 * The shop's own key out of a PKCS#12 file, to be kept encrypted with `secret`. It must be P-256, the one kind that records are
 * signed with; its certificate must be for signing, hold now, and stand, through certificates in the same file, under a root in
 * it. Throws AppError `bad-file` with the sentence that says what is wrong.
 */
export function keysFromPkcs12(
  file: Uint8Array,
  wish: { readonly passphrase: string; readonly now: Date; readonly secret: string },
): ShopKeys {
  const { key, certificates } = opened(Buffer.from(file), wish.passphrase);
  if (key.asymmetricKeyDetails?.namedCurve !== 'prime256v1')
    throw refused(`holds ${keyWords(key)}; records are signed with a P-256 key only`);
  const leaf = certificates.find((certificate) => isOf(key, certificate));
  if (leaf === undefined) throw refused('holds no certificate of its private key');
  const chain = chainOf(leaf, certificates);
  checkUse(readCertificate(leaf));
  for (const certificate of chain) checkStanding(readCertificate(certificate), wish.now);
  const root = chain.at(-1)!;
  const keys = {
    certificate: chain.slice(0, -1).map(toPem).join(''),
    root: toPem(root),
    encryptedKey: encrypted(key, wish.secret),
    fingerprint: fingerprintOf(leaf),
    rootFingerprint: fingerprintOf(root),
  };
  if (keys.certificate.length > mostPem || keys.root.length > mostPem)
    throw refused('has certificates larger than are kept');
  return keys;
}

/** Signs a word and reads the signature as `verify` would: what cannot be read back is never made the shop's key. */
export async function tryKeys(keys: ShopKeys, secret: string): Promise<void> {
  const signature = await openSigner({ ...keys, secret }).sign(Buffer.from('a trial'));
  readSignedData(Buffer.from(signature));
}

function opened(file: Buffer, passphrase: string) {
  try {
    return readPkcs12(file, passphrase);
  } catch (error) {
    if (error instanceof Pkcs12Error) throw refused(error.message, error);
    if (error instanceof DerError) throw refused('is no PKCS#12 file', error);
    throw error;
  }
}

function isOf(key: KeyObject, certificate: Buffer): boolean {
  try {
    return isPairOf(key, certificate);
  } catch {
    return false;
  }
}

function chainOf(leaf: Buffer, all: readonly Buffer[]): Buffer[] {
  try {
    readCertificate(leaf);
  } catch (error) {
    throw refused('has a certificate for its key of a kind that records do not carry', error);
  }
  const chain = wayUp(leaf, all.filter(isCertificate));
  if (!signedItself(chain.at(-1)!) || chain.length < 2)
    throw refused(
      'does not hold the chain from its certificate up to a root that signed itself; export it with all of them',
    );
  if (chain.length > mostCertificates) throw refused('has too long a chain of certificates');
  return chain;
}

/** Key usage must name signing; an extended one, where there is any, must have room for documents. @source RFC 5280 4.2.1.3, RFC 9336 */
function checkUse({ parsed, extensions }: CertificateParts): void {
  const valueOfExtension = (id: string) => extensions.find((e) => e.id.equals(oid(id)))?.value;
  if (parsed.ca) throw refused('has the certificate of an authority in the place of the signer’s');
  const usage = valueOfExtension('2.5.29.15');
  // digitalSignature or nonRepudiation, the first two bits.
  if (usage === undefined || ((readElement(usage).content[1] ?? 0) & 0xc0) === 0)
    throw refused('has a certificate that is not for signing (key usage)');
  const purposes = parsed.keyUsage as string[] | undefined;
  if (purposes !== undefined && !purposes.some((purpose) => documentPurposes.includes(purpose)))
    throw refused(
      'has a certificate that is for another purpose than signing documents (extended key usage)',
    );
}

/** Any purpose, mail, documents. */
const documentPurposes = ['2.5.29.37.0', '1.3.6.1.5.5.7.3.4', '1.3.6.1.5.5.7.3.36'];

function checkStanding({ parsed, notBefore, notAfter }: CertificateParts, now: Date): void {
  const name = nameOf(parsed);
  if (!isStrong(parsed.publicKey, shopRsaBits))
    throw refused(`has a certificate with a weak key: ${name} (RSA needs ${shopRsaBits} bits)`);
  if (now < notBefore || now > notAfter)
    throw refused(
      `has a certificate that holds from ${day(notBefore)} to ${day(notAfter)} and not now: ${name}`,
    );
}

function keyWords({ asymmetricKeyType, asymmetricKeyDetails }: KeyObject): string {
  const { modulusLength, namedCurve } = asymmetricKeyDetails ?? {};
  return modulusLength === undefined
    ? `a ${namedCurve ?? asymmetricKeyType} key`
    : `an ${String(asymmetricKeyType).toUpperCase()} key of ${modulusLength} bits`;
}

function day(at: Date): string {
  return at.toISOString().slice(0, 10);
}

function refused(why: string, cause?: unknown): AppError {
  return new AppError('bad-file', `The PKCS#12 file ${why}.`, { cause });
}
