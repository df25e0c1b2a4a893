import { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import { ecdsaSha256, readCertificate } from './certificate.js';
import { signedItself, wayUp } from './certificate-chain.js';
import {
  context,
  type DerElement,
  DerError,
  integer,
  members,
  octets,
  oid,
  readElement,
  sequence,
  setOf,
  tags,
} from './der.js';

const dataOid = oid('1.2.840.113549.1.7.1');
const signedDataOid = oid('1.2.840.113549.1.7.2');
const sha256 = sequence(oid('2.16.840.1.101.3.4.2.1'));
/** id-aa-signatureTimeStampToken. @source RFC 3161 appendix A */
const timestampAttribute = '1.2.840.113549.1.9.16.2.14';
const one = integer(Buffer.from([1]));

/**
 * The attributes that are signed (a DER SET in ascending order): content type, message digest and
 * signing-certificate-v2, and no signing time, which a PDF signature keeps in its dictionary. What is signed comes in the pieces that
 * it has in its file.
 * @source RFC 5652 section 5.3 and 11, RFC 5035 section 3, ETSI EN 319 142-1 baseline B-B
 */
export function signedAttributes(pieces: readonly Uint8Array[], leaf: Buffer): Buffer {
  const { issuer, serial } = readCertificate(leaf);
  const issuerSerial = sequence(sequence(context(4, issuer)), serial);
  // The hash algorithm is SHA-256 by default and so not written.
  const certificateId = sequence(octets(hash(leaf)), issuerSerial);
  return setOf(tags.set, [
    attribute('1.2.840.113549.1.9.3', dataOid),
    attribute('1.2.840.113549.1.9.4', octets(hash(...pieces))),
    attribute('1.2.840.113549.1.9.16.2.47', sequence(sequence(certificateId))),
  ]);
}

/** What a record's signature is made of; everything else in it is fixed. */
interface SignedDataParts {
  readonly leaf: Buffer;
  /** The certificates between the leaf and the root, going up. */
  readonly between: readonly Buffer[];
  readonly root: Buffer;
  /** The SET that `signature` was made over. */
  readonly attributes: Buffer;
  readonly signature: Buffer;
  /** An RFC 3161 token over `signature`. */
  readonly timestamp?: Buffer | undefined;
}

/** The CMS SignedData (DER, detached) of a record. @source RFC 5652 section 5.1; RFC 3161 appendix A for the timestamp */
export function signedData(parts: SignedDataParts): Buffer {
  const { leaf, between, root, attributes, signature, timestamp } = parts;
  const { issuer, serial } = readCertificate(leaf);
  const implicit = Buffer.from(attributes);
  implicit[0] = 0xa0;
  const signerInfo = sequence(
    one,
    sequence(issuer, serial),
    sha256,
    implicit,
    ecdsaSha256,
    octets(signature),
    ...(timestamp === undefined ? [] : [setOf(0xa1, [attribute(timestampAttribute, timestamp)])]),
  );
  const content = sequence(
    one,
    setOf(tags.set, [sha256]),
    sequence(dataOid),
    setOf(0xa0, [leaf, ...between, root]),
    setOf(tags.set, [signerInfo]),
  );
  return sequence(signedDataOid, context(0, content));
}

/**
 * Takes a record's CMS apart. Throws DerError unless its certificates are one way from the signer's up to a root, and
 * unless putting the parts together again gives the very same bytes, so that nothing in it can be changed unseen, signed
 * or not. What a timestamp holds is not looked at here.
 */
export function readSignedData(der: Buffer): SignedDataParts {
  const contentInfo = members(only(readElement(der), der));
  const content = members(at(members(at(contentInfo, 1)), 0));
  const signerInfo = members(at(members(at(content, 4)), 0));
  const attributes = Buffer.from(at(signerInfo, 3).whole);
  attributes[0] = tags.set;
  const parts = {
    ...certificatesIn(at(content, 3), at(signerInfo, 1).whole),
    attributes,
    signature: at(signerInfo, 5).content,
    timestamp: signerInfo[6] && timestampIn(signerInfo[6]),
  };
  if (!signedData(parts).equals(der)) throw new DerError('is not written as a record writes it');
  return parts;
}

const mostCertificates = 6;

function certificatesIn(set: DerElement, signerId: Buffer) {
  const all = members(set).map((c) => c.whole);
  if (all.length > mostCertificates) throw new DerError('holds too many certificates');
  const isSigner = (der: Buffer) => {
    const { issuer, serial } = readCertificate(der);
    return sequence(issuer, serial).equals(signerId);
  };
  const leaf = all.find(isSigner);
  if (leaf === undefined) throw new DerError('does not hold the certificate of its signer');
  const [, ...above] = wayUp(leaf, all);
  const root = above.pop();
  if (root === undefined || above.length + 2 !== all.length || !signedItself(root))
    throw new DerError('has a certificate that does not stand under the root beside it');
  return { leaf, between: above, root };
}

function timestampIn(unsigned: DerElement): Buffer {
  const [, values] = members(at(members(unsigned), 0));
  if (values === undefined) throw new DerError('lacks a part');
  return at(members(values), 0).whole;
}

function attribute(type: string, value: Buffer): Buffer {
  return sequence(oid(type), setOf(tags.set, [value]));
}

function only<T extends { whole: Buffer }>(found: T, all: Buffer): T {
  if (found.whole.length !== all.length) throw new DerError('has something behind it');
  return found;
}

function at<T>(list: readonly T[], index: number): T {
  const found = list[index];
  if (found === undefined) throw new DerError('lacks a part');
  return found;
}

function hash(...pieces: readonly Uint8Array[]): Buffer {
  const digest = createHash('sha256');
  for (const piece of pieces) digest.update(piece);
  return digest.digest();
}
