import { Buffer } from 'node:buffer';
import { createHash, verify } from 'node:crypto';
import { fingerprintOf, isCertificate, readCertificate } from './certificate.js';
import { isStrong, nameOf, signedItself, wayUp } from './certificate-chain.js';
import {
  context,
  type DerElement,
  integer,
  members,
  octets,
  oid,
  readElement,
  sequence,
  setOf,
  tags,
} from './der.js';
import { readTimestampInfo } from './timestamp-info.js';

/** What an authority's token says: its time (UTC, to the second), its name, and the SHA-256 of its certificate. */
export interface Timestamp {
  readonly at: string;
  readonly authority: string;
  readonly fingerprint: string;
}

/** A token that does not hold. The message goes on from "the timestamp" or "its answer": "has another digest". */
export class TimestampError extends Error {}

/** What a token is held against. `at` is the time that the record prints; `nonce` is given where the token was just asked for. */
export interface TimestampQuestion {
  readonly token: Buffer;
  /** The signature value that the token must be over. */
  readonly signature: Buffer;
  readonly at: Date;
  readonly nonce?: Buffer;
}

/** An authority's clock and the one that a record was issued by may be this far apart; more is one of them lying. */
const mostApartMs = 3_600_000;
const authorityRsaBits = 2048;
const mostCertificates = 10;

/**
 * Reads a token in the form of `plainToken` and checks all of it: the digest, the nonce where there is one, the time against
 * the record's, the signature, the signing certificate, and that it may sign timestamps and nothing else. Whose authority it is
 * stays open: that is said by name and fingerprint. Throws TimestampError or DerError, with a sentence's end.
 * @source RFC 3161 section 2.3, 2.4.2; RFC 5816
 */
export function checkTimestamp({ token, signature, at, nonce }: TimestampQuestion): Timestamp {
  const parts = readToken(token);
  if (!writeToken(parts).equals(token)) throw new TimestampError('is not written in its plain form');
  const info = readTimestampInfo(parts.info);
  if (!info.imprint.equals(createHash('sha256').update(signature).digest()))
    throw new TimestampError('is about something else than this signature');
  if (nonce !== undefined && !info.nonce?.equals(integer(nonce)))
    throw new TimestampError('answers another question than the one asked');
  if (Math.abs(info.at.getTime() - at.getTime()) > mostApartMs)
    throw new TimestampError('says a time more than an hour from the one that the record prints');
  const leaf = readCertificate(parts.leaf);
  if (!verify(parts.digest, parts.attributes, leaf.parsed.publicKey, parts.signature))
    throw new TimestampError('was not signed by the certificate in it');
  if (!stampsOnly(leaf.extensions))
    throw new TimestampError('is by a certificate that may not sign timestamps');
  if (info.at < leaf.notBefore || info.at > leaf.notAfter)
    throw new TimestampError('is from a time for which its certificate does not hold');
  return {
    at: `${info.at.toISOString().slice(0, 19)}Z`,
    authority: nameOf(leaf.parsed),
    fingerprint: fingerprintOf(parts.leaf),
  };
}

/**
 * The same token in a form in which every byte is vouched for by its signature, so that none can be changed unseen: without
 * certificates that nothing in it answers for, without revocation lists and unsigned attributes, every algorithm in its one form.
 */
export function plainToken(token: Buffer): Buffer {
  return writeToken(readToken(token));
}

type Digest = 'sha256' | 'sha384' | 'sha512';

interface TokenParts {
  readonly info: Buffer;
  readonly leaf: Buffer;
  readonly above: readonly Buffer[];
  readonly digest: Digest;
  readonly attributes: Buffer;
  readonly signature: Buffer;
}

const digests: Readonly<Record<Digest, { id: string; ecdsa: string; rsa: string }>> = {
  sha256: { id: '2.16.840.1.101.3.4.2.1', ecdsa: '1.2.840.10045.4.3.2', rsa: '1.2.840.113549.1.1.11' },
  sha384: { id: '2.16.840.1.101.3.4.2.2', ecdsa: '1.2.840.10045.4.3.3', rsa: '1.2.840.113549.1.1.12' },
  sha512: { id: '2.16.840.1.101.3.4.2.3', ecdsa: '1.2.840.10045.4.3.4', rsa: '1.2.840.113549.1.1.13' },
};
const rsaEncryption = oid('1.2.840.113549.1.1.1');
const signedDataOid = oid('1.2.840.113549.1.7.2');
const infoOid = oid('1.2.840.113549.1.9.16.1.4');
const nothing = Buffer.from([0x05, 0x00]);

function readToken(token: Buffer): TokenParts {
  const outer = readElement(token);
  const [type, wrapped] = members(outer);
  if (outer.whole.length !== token.length || !type?.whole.equals(signedDataOid) || !wrapped)
    throw new TimestampError('is no signed token');
  const [, , encapsulated, ...rest] = members(at(members(wrapped), 0));
  const [infoType, infoBox] = members(present(encapsulated));
  if (!infoType?.whole.equals(infoOid)) throw new TimestampError('is no signed token');
  const info = at(members(present(infoBox)), 0).content;
  const [signer, ...more] = members(present(rest.find(({ tag }) => tag === tags.set)));
  if (signer === undefined || more.length > 0) throw new TimestampError('is not signed by exactly one');
  const [, signerId, digestId, signedAttributes, algorithm, signature] = members(signer);
  if (signedAttributes?.tag !== 0xa0) throw new TimestampError('has no signed attributes');
  const attributes = Buffer.from(signedAttributes.whole);
  attributes[0] = tags.set;
  const all = members(rest.find(({ tag }) => tag === 0xa0) ?? { ...outer, content: Buffer.alloc(0) });
  const leaf = all.map((c) => c.whole).find((c) => isOf(c, present(signerId).whole));
  if (leaf === undefined) throw new TimestampError('lacks the certificate of its signer');
  const digest = digestNamed(present(digestId));
  checkAlgorithm(present(algorithm), digest, leaf);
  const { vouched } = checkAttributes(members(readElement(attributes)), { info, leaf, digest });
  return {
    ...{ info, leaf, digest, attributes, signature: present(signature).content },
    above: kept(leaf, all.slice(0, mostCertificates), vouched),
  };
}

function writeToken({ info, leaf, above, digest, attributes, signature }: TokenParts): Buffer {
  const { issuer, serial, parsed } = readCertificate(leaf);
  const digestId = sequence(oid(digests[digest].id));
  const implicit = Buffer.from(attributes);
  implicit[0] = 0xa0;
  const algorithm =
    parsed.publicKey.asymmetricKeyType === 'rsa'
      ? sequence(rsaEncryption, nothing)
      : sequence(oid(digests[digest].ecdsa));
  const signer = sequence(
    integer(Buffer.from([1])),
    ...[sequence(issuer, serial), digestId, implicit, algorithm, octets(signature)],
  );
  const content = sequence(
    integer(Buffer.from([3])),
    setOf(tags.set, [digestId]),
    sequence(infoOid, context(0, octets(info))),
    setOf(0xa0, [leaf, ...above]),
    setOf(tags.set, [signer]),
  );
  return sequence(signedDataOid, context(0, content));
}

/** The way up to a root that signed itself, or else as far as the token's own attributes name the certificates. */
function kept(leaf: Buffer, all: readonly DerElement[], vouched: (certificate: Buffer) => boolean): Buffer[] {
  const others = all.map((c) => c.whole).filter(isCertificate);
  const [, ...above] = wayUp(leaf, others);
  if (above.length > 0 && signedItself(above.at(-1)!)) return above;
  const end = above.findIndex((certificate) => !vouched(certificate));
  return end < 0 ? above : above.slice(0, end);
}

function checkAlgorithm(algorithm: DerElement, digest: Digest, leaf: Buffer): void {
  const [id, parameters, ...more] = members(algorithm);
  const key = readCertificate(leaf).parsed.publicKey;
  const { ecdsa, rsa } = digests[digest];
  const known = key.asymmetricKeyType === 'rsa' ? [rsaEncryption, oid(rsa)] : [oid(ecdsa)];
  const plain = more.length === 0 && (parameters === undefined || parameters.whole.equals(nothing));
  if (!plain || !known.some((k) => k.equals(id?.whole ?? nothing)))
    throw new TimestampError('is signed in a way that is not known here');
  if (!isStrong(key, authorityRsaBits)) throw new TimestampError('is signed with a weak key');
}

/** Content type and digest must be right, and the certificate named; answers which further certificates are named. */
function checkAttributes(
  attributes: readonly DerElement[],
  { info, leaf, digest }: Pick<TokenParts, 'info' | 'leaf' | 'digest'>,
): { vouched: (certificate: Buffer) => boolean } {
  const said = (id: string) => {
    const found = attributes.map(members).filter(([type]) => type?.whole.equals(oid(id)));
    const values = found[0]?.[1] === undefined ? [] : members(found[0][1]);
    if (found.length > 1 || values.length > 1) throw new TimestampError('says one thing twice');
    return values[0];
  };
  const type = said('1.2.840.113549.1.9.3');
  const hash = said('1.2.840.113549.1.9.4');
  if (!type?.whole.equals(infoOid) || !hash?.content.equals(createHash(digest).update(info).digest()))
    throw new TimestampError('has another content than the one that was signed');
  const first = said('1.2.840.113549.1.9.16.2.12');
  const second = said('1.2.840.113549.1.9.16.2.47');
  const named = [...namedIn(first, 'sha1'), ...namedIn(second, 'sha256')];
  const vouched = (certificate: Buffer) => named.some((name) => name(certificate));
  // The first of each must be the signer's own.
  const own = [namedIn(first, 'sha1')[0], namedIn(second, 'sha256')[0]].filter((name) => name !== undefined);
  if (own.length === 0 || !own.every((name) => name(leaf)))
    throw new TimestampError('does not name the certificate that signed it');
  return { vouched };
}

/** The certificates that a signing-certificate attribute names, each as a test. @source RFC 2634 5.4, RFC 5035 section 3 */
function namedIn(attribute: DerElement | undefined, usual: string): ((certificate: Buffer) => boolean)[] {
  if (attribute === undefined) return [];
  return members(at(members(attribute), 0)).map((id) => {
    const parts = members(id);
    const algorithm = parts[0]?.tag === tags.sequence ? digestNamed(parts.shift()!) : usual;
    const [hash, issuerSerial] = parts;
    return (certificate) => {
      const { issuer, serial } = readCertificate(certificate);
      const asNamed = sequence(sequence(context(4, issuer)), serial);
      return (
        present(hash).content.equals(createHash(algorithm).update(certificate).digest()) &&
        (issuerSerial === undefined || issuerSerial.whole.equals(asNamed))
      );
    };
  });
}

function digestNamed(algorithm: DerElement): Digest {
  const [id, parameters] = members(algorithm);
  const found = (Object.keys(digests) as Digest[]).find((name) => id?.whole.equals(oid(digests[name].id)));
  if (found === undefined || (parameters !== undefined && !parameters.whole.equals(nothing)))
    throw new TimestampError('rests on a digest that is not taken here');
  return found;
}

/** For timestamps, critical, and for nothing else. @source RFC 3161 section 2.3 */
function stampsOnly(extensions: ReturnType<typeof readCertificate>['extensions']): boolean {
  const usage = extensions.filter(({ id }) => id.equals(oid('2.5.29.37')));
  const wanted = sequence(oid('1.3.6.1.5.5.7.3.8'));
  return usage.length === 1 && usage[0]!.critical && usage[0]!.value.equals(wanted);
}

function isOf(certificate: Buffer, signerId: Buffer): boolean {
  if (!isCertificate(certificate)) return false;
  const { issuer, serial } = readCertificate(certificate);
  return sequence(issuer, serial).equals(signerId);
}

function present<T>(part: T | undefined): T {
  if (part === undefined) throw new TimestampError('lacks a part');
  return part;
}

function at<T>(list: readonly T[], index: number): T {
  return present(list[index]);
}
