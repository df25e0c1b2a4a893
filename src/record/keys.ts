import { Buffer } from 'node:buffer';
import {
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  type KeyObject,
  sign,
  X509Certificate,
} from 'node:crypto';
import { AppError } from '../errors.js';
import { fingerprintOf, makeCertificate, readCertificate } from './certificate.js';
import { signedAttributes, signedData } from './signed-data.js';

/**
 * A shop's keys: certificates as PEM (`certificate` is the signer's, with those between it and the root behind it), private
 * keys as encrypted PKCS#8 PEM, fingerprints as SHA-256 in hex. A shop holds the key of a root only where it made that root.
 */
export interface ShopKeys {
  readonly certificate: string;
  readonly root: string;
  readonly encryptedKey: string;
  readonly encryptedRootKey?: string;
  readonly fingerprint: string;
  readonly rootFingerprint: string;
}

/** What signs a record. `sign` takes the bytes that the signature covers and gives the CMS that goes in the file. */
export interface Signer {
  readonly certificate: string;
  readonly root: string;
  readonly fingerprint: string;
  readonly rootFingerprint: string;
  sign(...pieces: readonly Uint8Array[]): Promise<Uint8Array>;
  readonly signAttributes: SignAttributes;
}

/** The bare signature (ECDSA with SHA-256, DER) of what `signedAttributes` made: the one thing that takes the private key. */
type SignAttributes = (attributes: Uint8Array) => Promise<Uint8Array>;

const rootYears = 30;
const signerYears = 15;

/**
 * A root of the shop's own (P-256, may sign only end certificates) and under it the certificate that signs records.
 * Both private keys come back encrypted with `secret` (AES-256, PBKDF2).
 */
export function makeShopKeys(wish: {
  shopName: string;
  now: Date;
  secret: string;
}): ShopKeys & { readonly encryptedRootKey: string } {
  if (wish.secret === '') throw new RangeError('keys are never kept without a secret');
  const organization = cut(wish.shopName, 64);
  const issuer = { name: `${cut(wish.shopName, 50)} record root`, organization };
  const root = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const leaf = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const common = { issuer, issuerKey: root.privateKey, issuerPublicKey: root.publicKey, from: wish.now };
  const rootDer = makeCertificate({
    ...common,
    subject: issuer,
    publicKey: root.publicKey,
    years: rootYears,
    use: 'root',
  });
  const leafDer = makeCertificate({
    ...common,
    subject: { name: organization, organization },
    publicKey: leaf.publicKey,
    years: signerYears,
    use: 'records',
  });
  return {
    certificate: toPem(leafDer),
    root: toPem(rootDer),
    encryptedKey: encrypted(leaf.privateKey, wish.secret),
    encryptedRootKey: encrypted(root.privateKey, wish.secret),
    fingerprint: fingerprintOf(leafDer),
    rootFingerprint: fingerprintOf(rootDer),
  };
}

/** Opens the shop's key for signing. Throws AppError `bad-file` where the secret, the key and the certificates do not belong together. */
export function openSigner(kept: {
  certificate: string;
  root: string;
  encryptedKey: string;
  secret: string;
}): Signer {
  const key = openKey(kept.encryptedKey, kept.secret);
  const [leaf] = chainFromPem(kept.certificate);
  if (!isPairOf(key, leaf))
    throw new AppError('bad-file', 'The signing key does not belong to the shop’s certificate.');
  return signerOf(kept, async (attributes) => sign('sha256', attributes, key));
}

/** A signer by its certificates, wherever its key is kept. Throws AppError `bad-file` where they cannot be read. */
export function signerOf(
  { certificate, root: rootPem }: Pick<Signer, 'certificate' | 'root'>,
  signAttributes: SignAttributes,
): Signer {
  const [leaf, ...between] = chainFromPem(certificate);
  const root = fromPem(rootPem);
  return {
    certificate,
    root: rootPem,
    fingerprint: fingerprintOf(leaf),
    rootFingerprint: fingerprintOf(root),
    signAttributes,
    async sign(...pieces) {
      const attributes = signedAttributes(pieces, leaf);
      const signature = Buffer.from(await signAttributes(attributes));
      return signedData({ leaf, between, root, attributes, signature });
    },
  };
}

/** Throws AppError `out-of-order` where one of the signer's certificates does not hold at a time: such a record would not verify. */
export function mustHoldAt({ certificate, root }: Pick<Signer, 'certificate' | 'root'>, at: Date): void {
  for (const { notBefore, notAfter } of [...chainFromPem(certificate), fromPem(root)].map(readCertificate))
    if (at < notBefore || at > notAfter)
      throw new AppError(
        'out-of-order',
        `The signing certificate holds from ${minute(notBefore)} to ${minute(notAfter)} only, and the clock of this machine says ${minute(at)}. Set the clock right, or let a keeper bring or make another key.`,
      );
}

/** The DER of a PEM certificate. */
export function fromPem(pem: string): Buffer {
  try {
    const { raw } = new X509Certificate(pem);
    readCertificate(raw);
    return raw;
  } catch (cause) {
    throw new AppError('bad-file', 'The shop’s certificate cannot be read.', { cause });
  }
}

/** The DER of each certificate that stands one behind the other in a PEM. */
function chainFromPem(pem: string): [Buffer, ...Buffer[]] {
  const [first = '', ...others] = pem.split(/(?=-----BEGIN CERTIFICATE-----)/).filter((part) => part.trim());
  return [fromPem(first), ...others.map(fromPem)];
}

/** A certificate as PEM. */
export function toPem(der: Buffer): string {
  return new X509Certificate(der).toString();
}

/** A private key as PKCS#8 PEM, encrypted with `secret` (AES-256, PBKDF2). */
export function encrypted(key: KeyObject, secret: string): string {
  return key.export({ type: 'pkcs8', format: 'pem', cipher: 'aes-256-cbc', passphrase: secret }).toString();
}

function openKey(pem: string, secret: string): KeyObject {
  try {
    return createPrivateKey({ key: pem, passphrase: secret });
  } catch (cause) {
    throw new AppError('bad-file', 'The signing key does not open with this secret.', { cause });
  }
}

/** Whether the certificate is the one of this key. */
export function isPairOf(key: KeyObject, certificate: Buffer): boolean {
  const ofKey = createPublicKey(key).export({ type: 'spki', format: 'der' });
  return ofKey.equals(new X509Certificate(certificate).publicKey.export({ type: 'spki', format: 'der' }));
}

/** A day alone would not show a clock that is an hour slow. */
function minute(at: Date): string {
  return `${at.toISOString().slice(0, 16).replace('T', ' ')} UTC`;
}

/** Whole characters, at most so many. */
function cut(text: string, most: number): string {
  return [...text].slice(0, most).join('').trim();
}
