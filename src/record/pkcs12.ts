import { Buffer } from 'node:buffer';
import {
  createDecipheriv,
  createHash,
  createHmac,
  createPrivateKey,
  type KeyObject,
  pbkdf2Sync,
  timingSafeEqual,
} from 'node:crypto';
import { type DerElement, DerError, members, oid, readElement, tags } from './der.js';

/** What a PKCS#12 file holds: its one private key and its certificates (DER), in the order they lie there. */
interface Pkcs12 {
  readonly key: KeyObject;
  readonly certificates: readonly Buffer[];
}

/** A PKCS#12 file that cannot be used. The message goes on from "the file": "does not open with this passphrase". */
export class Pkcs12Error extends Error {}

/**
 * Reads a PKCS#12 file as OpenSSL 3 and Java write them today: DER, a MAC over all of it, PBES2 with AES. Node's own crypto does
 * the rest. Throws Pkcs12Error for another passphrase and for the older ciphers, DerError where the bytes are not DER.
 * @source RFC 7292; RFC 8018 for PBES2
 */
export function readPkcs12(file: Buffer, passphrase: string): Pkcs12 {
  const outer = readElement(file);
  const [version, authSafe, mac] = members(outer);
  if (
    outer.tag !== tags.sequence ||
    outer.whole.length !== file.length ||
    version?.content[0] !== 3 ||
    !authSafe
  )
    throw new Pkcs12Error('is no PKCS#12 file');
  const safe = dataIn(authSafe);
  if (mac === undefined) throw new Pkcs12Error('has no check over its content');
  checkMac(mac, safe, passphrase);
  const bags = members(readElement(safe)).flatMap((info) => bagsIn(info, passphrase));
  const keys = bags.flatMap(({ kind, value }) => keyIn(kind, value, passphrase));
  const certificates = bags.flatMap(({ kind, value }) => certificateIn(kind, value));
  const [key, ...more] = keys;
  if (key === undefined || more.length > 0) throw new Pkcs12Error('does not hold exactly one private key');
  return { key, certificates };
}

const dataOid = oid('1.2.840.113549.1.7.1');
const encryptedDataOid = oid('1.2.840.113549.1.7.6');
const bagOid = (n: number) => oid(`1.2.840.113549.1.12.10.1.${n}`);
const x509Oid = oid('1.2.840.113549.1.9.22.1');
const pbes2Oid = oid('1.2.840.113549.1.5.13');
const pbkdf2Oid = oid('1.2.840.113549.1.5.12');
const mostIterations = 10_000_000;
const wrongPassphrase = 'does not open with this passphrase';

/** How each digest is known: its name, its identifier, that of its HMAC, and the block that RFC 7292 works in. */
const digests = [
  { name: 'sha1', id: oid('1.3.14.3.2.26'), hmac: oid('1.2.840.113549.2.7'), block: 64 },
  { name: 'sha256', id: oid('2.16.840.1.101.3.4.2.1'), hmac: oid('1.2.840.113549.2.9'), block: 64 },
  { name: 'sha384', id: oid('2.16.840.1.101.3.4.2.2'), hmac: oid('1.2.840.113549.2.10'), block: 128 },
  { name: 'sha512', id: oid('2.16.840.1.101.3.4.2.3'), hmac: oid('1.2.840.113549.2.11'), block: 128 },
] as const;

const ciphers = [
  { name: 'aes-128-cbc', id: oid('2.16.840.1.101.3.4.1.2'), bytes: 16 },
  { name: 'aes-192-cbc', id: oid('2.16.840.1.101.3.4.1.22'), bytes: 24 },
  { name: 'aes-256-cbc', id: oid('2.16.840.1.101.3.4.1.42'), bytes: 32 },
] as const;

/** The octets of a ContentInfo of plain data. */
function dataIn(info: DerElement): Buffer {
  const [type, wrapped] = members(info);
  if (!type?.whole.equals(dataOid) || !wrapped) throw new Pkcs12Error('is not closed with a passphrase');
  return part(members(wrapped), 0).content;
}

/** @source RFC 7292 section 4 and appendix B */
function checkMac(mac: DerElement, safe: Buffer, passphrase: string): void {
  const [digestInfo, salt, count] = members(mac);
  const [algorithm, expected] = digestInfo === undefined ? [] : members(digestInfo);
  const digest = digests.find(
    ({ id }) => algorithm !== undefined && part(members(algorithm), 0).whole.equals(id),
  );
  if (!digest || !expected || !salt)
    throw new Pkcs12Error('has a check over its content of a kind not known here');
  const key = macKey(digest, passphrase, salt.content, count === undefined ? 1 : iterations(count));
  const made = createHmac(digest.name, key).update(safe).digest();
  if (made.length !== expected.content.length || !timingSafeEqual(made, expected.content))
    throw new Pkcs12Error(wrongPassphrase);
}

/** The first block of RFC 7292 B.2 for the purpose of a MAC, which is as long as the digest and so all that is needed. */
function macKey(digest: (typeof digests)[number], passphrase: string, salt: Buffer, count: number): Buffer {
  const text = Buffer.concat([Buffer.from(passphrase, 'utf16le').swap16(), Buffer.alloc(2)]);
  const filled = (bytes: Buffer) =>
    Buffer.alloc(Math.ceil(bytes.length / digest.block) * digest.block, bytes);
  let block = Buffer.concat([Buffer.alloc(digest.block, 3), filled(salt), filled(text)]);
  for (let k = 0; k < count; k += 1) block = createHash(digest.name).update(block).digest();
  return block;
}

interface Bag {
  readonly kind: Buffer;
  readonly value: DerElement;
}

function bagsIn(info: DerElement, passphrase: string): Bag[] {
  const [type, wrapped] = members(info);
  const contents = type?.whole.equals(encryptedDataOid)
    ? opened(members(part(members(part([wrapped], 0)), 0)), passphrase)
    : dataIn(info);
  return members(readElement(contents)).map((bag) => {
    const [kind, value] = members(bag);
    return { kind: part([kind], 0).whole, value: part(members(part([value], 0)), 0) };
  });
}

/** What an EncryptedData holds. */
function opened([, info]: readonly DerElement[], passphrase: string): Buffer {
  const [, algorithm, secret] = members(part([info], 0));
  if (!algorithm || !secret) throw new Pkcs12Error('is no PKCS#12 file');
  const [scheme, parameters] = members(algorithm);
  if (!scheme?.whole.equals(pbes2Oid) || !parameters)
    throw new Pkcs12Error('is encrypted in an old way (no AES); export it again, with AES-256');
  const [derivation, encryption] = members(parameters).map((p) => members(p));
  const cipher = ciphers.find(({ id }) => encryption?.[0]?.whole.equals(id));
  if (!derivation?.[0]?.whole.equals(pbkdf2Oid) || !cipher)
    throw new Pkcs12Error('is encrypted in a way not known here; export it again, with AES-256 and PBKDF2');
  const [salt, count, ...more] = members(part(derivation, 1));
  const prf = more.find(({ tag }) => tag === tags.sequence);
  const digest = prf ? digests.find(({ hmac }) => part(members(prf), 0).whole.equals(hmac)) : digests[0];
  if (!salt || !count || !digest) throw new Pkcs12Error('is encrypted in a way not known here');
  const key = pbkdf2Sync(passphrase, salt.content, iterations(count), cipher.bytes, digest.name);
  try {
    const decipher = createDecipheriv(cipher.name, key, part(encryption ?? [], 1).content);
    return Buffer.concat([decipher.update(secret.content), decipher.final()]);
  } catch (cause) {
    throw new Pkcs12Error(wrongPassphrase, { cause });
  }
}

function keyIn(kind: Buffer, { whole }: DerElement, passphrase: string): KeyObject[] {
  const closed = kind.equals(bagOid(2));
  if (!closed && !kind.equals(bagOid(1))) return [];
  try {
    return [createPrivateKey({ key: whole, format: 'der', type: 'pkcs8', ...(closed && { passphrase }) })];
  } catch (cause) {
    throw new Pkcs12Error(closed ? wrongPassphrase : 'holds a private key that cannot be read', { cause });
  }
}

function certificateIn(kind: Buffer, value: DerElement): Buffer[] {
  const [type, wrapped] = kind.equals(bagOid(3)) ? members(value) : [];
  return type?.whole.equals(x509Oid) && wrapped ? [part(members(wrapped), 0).content] : [];
}

function iterations({ content }: DerElement): number {
  const { length } = content;
  const count = length < 1 || length > 4 ? Number.POSITIVE_INFINITY : content.readUIntBE(0, length);
  if (count < 1 || count > mostIterations) throw new Pkcs12Error('asks for more work than is taken on here');
  return count;
}

function part(list: readonly (DerElement | undefined)[], index: number): DerElement {
  const found = list[index];
  if (found === undefined) throw new DerError('lacks a part');
  return found;
}
