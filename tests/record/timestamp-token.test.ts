import { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, test } from 'vitest';
import {
  context,
  element,
  integer,
  members,
  octets,
  oid,
  readElement,
  sequence,
  tags,
  utf8,
} from '../../src/record/der.js';
import { tokenIn } from '../../src/record/timestamp-exchange.js';
import { checkTimestamp, plainToken } from '../../src/record/timestamp-token.js';
import { type OpensslAuthority, opensslAuthority, opensslQuery } from './openssl-authority.js';

const signature = Buffer.from('the value of a signature');
let authority: OpensslAuthority;
/** A whole token, and what its authority signed. */
let token: Buffer;
let info: Buffer;
let at: Date;
beforeAll(() => {
  authority = opensslAuthority();
  const digest = createHash('sha256').update(signature).digest('hex');
  token = tokenIn(authority.reply(opensslQuery({ digest })));
  info = partsOf(token).info;
  at = new Date(checked(token).at);
});

const checked = (sent: Buffer, when = new Date()) =>
  checkTimestamp({ token: plainToken(sent), signature, at: when });

interface Parts {
  type: Buffer;
  infoType: Buffer;
  info: Buffer;
  certificates: Buffer[];
  signers: Buffer[];
  /** Version, identity, digest, signed attributes, algorithm and signature of the one signer. */
  signer: Buffer[];
}

function partsOf(whole: Buffer): Parts {
  const [type, wrapped] = members(readElement(whole));
  const [, , encapsulated, certificates, signers] = members(members(wrapped!)[0]!);
  const [infoType, box] = members(encapsulated!);
  const all = members(signers!);
  return {
    type: type!.whole,
    infoType: infoType!.whole,
    info: members(box!)[0]!.content,
    certificates: members(certificates!).map((c) => c.whole),
    signers: all.map((s) => s.whole),
    signer: members(all[0]!).map((part) => part.whole),
  };
}

/** The token with some of its parts changed by somebody without its key. */
function forged(change: (parts: Parts) => Partial<Parts>, from = token): Buffer {
  const parts = partsOf(from);
  const changed = change(parts);
  const all = { ...parts, ...changed };
  const signers = changed.signers ?? [sequence(...all.signer)];
  const content = sequence(
    integer(Buffer.from([3])),
    element(tags.set, all.signer[2]!),
    sequence(all.infoType, context(0, octets(all.info))),
    element(0xa0, ...all.certificates),
    element(tags.set, ...signers),
  );
  return sequence(all.type, context(0, content));
}

const withSigner = (place: number, part: (before: Buffer) => Buffer | undefined) =>
  forged(({ signer }) => ({
    signer: signer.flatMap((before, k) => (k === place ? (part(before) ?? []) : [before])),
  }));
const sha1 = sequence(oid('1.3.14.3.2.26'));
const ecdsaSha384 = sequence(oid('1.2.840.10045.4.3.3'));
const signingCertificate = oid('1.2.840.113549.1.9.16.2.47');
/** The signed attributes, each changed, dropped (none) or doubled (two). */
const withAttributes = (change: (attribute: Buffer) => Buffer[]) =>
  withSigner(3, (before) =>
    element(0xa0, ...members(readElement(before)).flatMap(({ whole }) => change(whole))),
  );
const olderSigningCertificate = oid('1.2.840.113549.1.9.16.2.12');
const infoOid = oid('1.2.840.113549.1.9.16.1.4');
/** An attribute that names one certificate by its digest. */
const naming = (type: Buffer, digest: Buffer, ...more: Buffer[]) =>
  sequence(type, element(tags.set, sequence(sequence(sequence(octets(digest), ...more)))));
const ownDigest = () =>
  createHash('sha256')
    .update(partsOf(token).certificates.find((c) => c.includes('Slack Water timestamps'))!)
    .digest();
/** An issuer and a number that are none of the token's. */
const elsewhere = sequence(sequence(context(4, sequence())), integer(Buffer.from([1])));
const namesCertificate = (attribute: Buffer) => attribute.includes(signingCertificate);

describe('a token', () => {
  test('put together again from its parts holds', () => {
    expect(checked(forged(() => ({}))).authority).toBe('Slack Water timestamps');
  });

  test.each<[string, () => Buffer, string]>([
    ['is of another type', () => forged(() => ({ type: oid('1.2.840.113549.1.7.1') })), 'is no signed token'],
    [
      'holds another thing',
      () => forged(() => ({ infoType: oid('1.2.840.113549.1.7.1') })),
      'is no signed token',
    ],
    ['has something behind it', () => Buffer.concat([token, Buffer.from([0])]), 'is no signed token'],
    [
      'is signed by two',
      () => forged(({ signers }) => ({ signers: [...signers, ...signers] })),
      'not signed by exactly one',
    ],
    ['is signed by nobody', () => forged(() => ({ signers: [] })), 'not signed by exactly one'],
    ['signs no attributes', () => withSigner(3, () => undefined), 'has no signed attributes'],
    [
      'lacks its certificate',
      () =>
        forged(({ certificates }) => ({
          certificates: certificates.filter((c) => !c.includes('Slack Water timestamps')),
        })),
      'lacks the certificate of its signer',
    ],
    [
      'is signed in another way than its digest',
      () => withSigner(4, () => ecdsaSha384),
      'is signed in a way that is not known here',
    ],
    [
      'has more beside how it is signed',
      () => withSigner(4, (way) => sequence(...members(readElement(way)).map((m) => m.whole), utf8('x'))),
      'is signed in a way that is not known here',
    ],
    ['rests on SHA-1', () => withSigner(2, () => sha1), 'rests on a digest that is not taken here'],
    [
      'says another time than was signed',
      () => forged(() => ({ info: timed((time) => time.replace(/^\d{4}/, '2031')) })),
      'has another content than the one that was signed',
    ],
    [
      'has the signature of another',
      () => withSigner(5, () => partsOf(authority.signed(info)).signer[5]!),
      'was not signed by the certificate in it',
    ],
    [
      'names no certificate',
      () => withAttributes((a) => (namesCertificate(a) ? [] : [a])),
      'does not name the certificate that signed it',
    ],
    [
      'names another certificate',
      () => withAttributes((a) => [namesCertificate(a) ? flippedLast(a) : a]),
      'does not name the certificate that signed it',
    ],
    [
      'names another certificate beside its own, the older way',
      () =>
        withAttributes((a) =>
          namesCertificate(a) ? [a, naming(olderSigningCertificate, Buffer.alloc(20))] : [a],
        ),
      'does not name the certificate that signed it',
    ],
    [
      'names its certificate under another number',
      () =>
        withAttributes((a) =>
          namesCertificate(a) ? [naming(signingCertificate, ownDigest(), elsewhere)] : [a],
        ),
      'does not name the certificate that signed it',
    ],
    [
      'signs that it is another thing',
      () =>
        withAttributes((a) => [
          a.includes(infoOid)
            ? sequence(members(readElement(a))[0]!.whole, element(tags.set, oid('1.2.840.113549.1.7.1')))
            : a,
        ]),
      'has another content than the one that was signed',
    ],
    [
      'has more beside its digest',
      () => withSigner(2, () => sequence(oid('2.16.840.1.101.3.4.2.1'), utf8('x'))),
      'rests on a digest that is not taken here',
    ],
    [
      'names its certificate twice',
      () => withAttributes((a) => (namesCertificate(a) ? [a, a] : [a])),
      'says one thing twice',
    ],
  ])('that %s is refused', (_what, made, why) => {
    expect(() => checked(made())).toThrow(why);
  });

  test('with something beside its certificates that is none holds, and loses it', () => {
    const more = forged(({ certificates }) => ({ certificates: [sequence(utf8('none')), ...certificates] }));
    expect(plainToken(more)).toEqual(plainToken(token));
  });

  test('is taken in its plain form alone: its certificates in another order are another file', () => {
    const turned = forged(({ certificates }) => ({ certificates: certificates.toReversed() }));
    const raw = (sent: Buffer) => () => checkTimestamp({ token: sent, signature, at });
    expect(raw(turned)).toThrow('is not written in its plain form');
    expect(raw(plainToken(turned))).not.toThrow();
  });

  test('may be an hour from the record’s time and not a second more, before it and after', () => {
    for (const apart of [-3_600_000, 3_600_000]) {
      const when = (more: number) => new Date(at.getTime() + apart + more);
      expect(() => checked(token, when(0))).not.toThrow();
      expect(() => checked(token, when(Math.sign(apart) * 1000))).toThrow('more than an hour');
    }
  });
});

describe('what an authority signs', () => {
  test.each<[string, () => Buffer, string]>([
    ['is of another version', () => infoWith(0, integer(Buffer.from([2]))), 'is of another version'],
    ['is over another digest', () => infoWith(2, imprint('2.16.840.1.101.3.4.2.3')), 'is not over a SHA-256'],
    [
      'is over two digests',
      () => infoWith(2, imprint('2.16.840.1.101.3.4.2.1', octets(Buffer.alloc(32)))),
      'is not over a SHA-256',
    ],
    [
      'says its time in two digits of a year',
      () => infoWith(4, element(tags.utcTime, Buffer.from('261128050000Z'))),
      'has no time',
    ],
    ['says a thirteenth month', () => timed(() => '20261328050000Z'), 'has a time that cannot be read'],
    [
      'says a time of its own zone',
      () => timed((time) => time.replace('Z', '+0100')),
      'has a time that cannot be read',
    ],
    ['ends before its time', () => sequence(...fields().slice(0, 4)), 'lacks a part'],
    ['has something behind it', () => Buffer.concat([info, Buffer.from([0])]), 'lacks a part'],
    [
      'is of a day after its certificate',
      () => timed((time) => `${Number(time.slice(0, 4)) + 1}${time.slice(4)}`),
      'from a time for which its certificate does not hold',
    ],
  ])('and %s is refused', (_what, made, why) => {
    const said = made();
    const year = Number(/(\d{4})\d{10}Z/.exec(said.toString('latin1'))?.[1] ?? 0);
    const when = new Date(at);
    if (year > at.getUTCFullYear()) when.setUTCFullYear(year);
    expect(() => checked(authority.signed(said), when)).toThrow(why);
  });

  test('may say parts of a second', () => {
    expect(checked(authority.signed(timed((time) => time.replace('Z', '.25Z')))).at).toBe(
      at.toISOString().replace('.000', ''),
    );
  });
});

describe('an answer', () => {
  const status = (code: number, ...words: Buffer[]) => sequence(integer(Buffer.from([code])), ...words);

  test('that is granted, as asked or with changes, brings its token', () => {
    for (const code of [0, 1]) expect(tokenIn(sequence(status(code), token))).toEqual(token);
  });

  test.each([2, 3, 4, 5])('of status %i is a refusal, though a token lies beside it', (code) => {
    expect(() => tokenIn(sequence(status(code), token))).toThrow('refuses');
  });

  test('without a token, or with more than one, is none', () => {
    expect(() => tokenIn(sequence(status(0)))).toThrow('refuses');
    expect(() => tokenIn(sequence(status(0), token, token))).toThrow('is no answer');
    expect(() => tokenIn(Buffer.concat([sequence(status(0), token), token]))).toThrow('is no answer');
    expect(() => tokenIn(sequence())).toThrow('is no answer');
  });

  test('says why it refuses in one line, no longer than a page bears', () => {
    const words = sequence(utf8(`no\u001b[2J\u2028more ${'x'.repeat(400)}`));
    const said = () => tokenIn(sequence(status(2, words)));
    expect(said).toThrow(/^refuses: no\?\[2J\?more x{188}$/);
  });
});

const fields = () => members(readElement(info)).map((m) => m.whole);
const infoWith = (place: number, part: Buffer) =>
  sequence(...fields().map((f, k) => (k === place ? part : f)));
/** What was signed with another time in it. */
function timed(change: (time: string) => string): Buffer {
  const time = members(readElement(info))[4]!.content.toString('latin1');
  return infoWith(4, element(tags.generalizedTime, Buffer.from(change(time))));
}
function imprint(algorithm: string, ...more: Buffer[]): Buffer {
  const digest = createHash('sha256').update(signature).digest();
  return sequence(sequence(oid(algorithm)), octets(digest), ...more);
}
function flippedLast(bytes: Buffer): Buffer {
  const changed = Buffer.from(bytes);
  changed[changed.length - 1]! ^= 1;
  return changed;
}
