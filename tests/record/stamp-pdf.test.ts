import { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { integer, members, readElement, sequence, utf8 } from '../../src/record/der.js';
import type { Signer } from '../../src/record/keys.js';
import { signPdf } from '../../src/record/sign-pdf.js';
import { readSignedData, signedData } from '../../src/record/signed-data.js';
import { stampPdf } from '../../src/record/stamp-pdf.js';
import { timestampAuthority } from '../../src/record/timestamp-authority.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import {
  type Answer,
  type AuthorityWish,
  honest,
  type OpensslAuthority,
  opensslAuthority,
  opensslQuery,
  timestampServer,
} from './openssl-authority.js';
import { cutSignature, flipped } from './outside-tool.js';
import { smallRecord, testSigner } from './small-record.js';

const issuedAt = `${new Date().toISOString().slice(0, 19)}Z`;
let signer: Signer;
let record: Buffer;
let authority: OpensslAuthority;
beforeAll(async () => {
  signer = testSigner(new Date(Date.now() - 86_400_000));
  record = await signPdf(await smallRecord(signer, new Date(issuedAt)), signer);
  authority = opensslAuthority();
});

/** The record stamped by a server that answers as told. */
async function stampedBy(
  answer: Answer,
  more: { pdf?: Buffer; issuedAt?: string; patienceMs?: number } = {},
) {
  const server = await timestampServer(answer);
  onTestFinished(() => server.close());
  return stampPdf(
    { pdf: more.pdf ?? record, issuedAt: more.issuedAt ?? issuedAt },
    timestampAuthority(server.address, more.patienceMs ?? 10_000),
  );
}

const sha256 = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');
const send =
  (body: Uint8Array, status = 200): Answer =>
  (_query, response) =>
    void response.writeHead(status).end(body);

/** A time as a token writes it, `YYYYMMDDhhmmssZ`. */
const halfAnHourBefore = (time: string) => {
  const iso = time.replace(/^(\d{4})(..)(..)(..)(..)(..)Z$/, '$1-$2-$3T$4:$5:$6Z');
  return `${new Date(Date.parse(iso) - 1_800_000).toISOString().replace(/[-:T]/g, '').slice(0, 14)}Z`;
};

describe('a record stamped by an authority', () => {
  test('is intact, says the authority’s time, name and fingerprint, and is the same file but for the signature', async () => {
    const { pdf, timestamp, withoutTimestamp } = await stampedBy(honest(authority));
    expect(withoutTimestamp).toBeUndefined();
    expect(timestamp?.authority).toBe('Slack Water timestamps');
    expect(Math.abs(Date.parse(timestamp!.at) - Date.parse(issuedAt))).toBeLessThan(600_000);
    expect(cutSignature(pdf).covered).toEqual(cutSignature(record).covered);
    const seen = await verifyRecord(pdf, { fingerprint: signer.fingerprint });
    expect(seen).toMatchObject({ state: 'intact', signer: 'known', timestamp });
    expect(seen.reasons.join(' ')).toContain(`Timestamp by Slack Water timestamps at ${timestamp!.at}`);
  });

  test.each<[string, AuthorityWish]>([
    ['signs with RSA', { key: 'rsa' }],
    ['signs over SHA-512 and names its certificate by it', { digest: 'sha512', nameDigest: 'sha512' }],
    ['names its certificate by SHA-1, the older way', { nameDigest: 'sha1' }],
    ['names its whole chain without sending the root', { chain: true, withoutRoot: true }],
    ['sends a chain that ends nowhere', { withoutRoot: true }],
  ])('is intact where the authority %s', async (_what, wish) => {
    const { pdf, timestamp, withoutTimestamp } = await stampedBy(honest(opensslAuthority(wish)));
    expect(withoutTimestamp).toBeUndefined();
    expect(await verifyRecord(pdf)).toMatchObject({ state: 'intact', timestamp });
  });

  test('keeps the certificates that something in the token vouches for, and no other', async () => {
    const counted = async (wish: AuthorityWish) => {
      const { pdf } = await stampedBy(honest(opensslAuthority(wish)));
      return certificatesIn(pdf);
    };
    expect(await counted({})).toBe(3);
    expect(await counted({ withoutRoot: true, chain: true })).toBe(2);
    expect(await counted({ withoutRoot: true })).toBe(1);
  });

  test('is called not intact for any one changed byte of its signature and token, one in eleven tried', async () => {
    const { pdf } = await stampedBy(honest(authority));
    const start = pdf.indexOf('/Contents <') + '/Contents <'.length;
    const size = readElement(cutSignature(pdf).cms).whole.length;
    const missed: number[] = [];
    for (let byte = 0; byte < size; byte += 11) {
      const changed = Buffer.from(pdf);
      const value = Number.parseInt(pdf.toString('latin1', start + 2 * byte, start + 2 * byte + 2), 16);
      const other = (value ^ (1 << (byte % 8))).toString(16).padStart(2, '0');
      changed.write(other, start + 2 * byte, 'latin1');
      if ((await verifyRecord(changed)).state !== 'not-intact') missed.push(byte);
    }
    expect(size).toBeGreaterThan(2000);
    expect(missed).toEqual([]);
  });

  test('is called not intact with the token of another record, of another time, or none where bytes are left', async () => {
    const other = await signPdf(await smallRecord(signer, new Date(issuedAt), { revision: 2 }), signer);
    const stamped = await stampedBy(honest(authority));
    const elsewhere = readSignedData(readElement(cutSignature(stamped.pdf).cms).whole).timestamp!;
    const own = readSignedData(readElement(cutSignature(other).cms).whole);
    const seen = await verifyRecord(withCms(other, signedData({ ...own, timestamp: elsewhere })));
    expect(seen).toMatchObject({
      state: 'not-intact',
      reasons: ['The timestamp in the file does not hold: it is about something else than this signature.'],
    });
  });
});

describe('a record whose authority', () => {
  const lost = async (answer: Answer, patienceMs?: number) => {
    const result = await stampedBy(answer, patienceMs === undefined ? {} : { patienceMs });
    expect(sha256(result.pdf)).toBe(sha256(record));
    expect(result.timestamp).toBeUndefined();
    expect(result.withoutTimestamp).toMatch(
      /^The record has no timestamp: the authority 127\.0\.0\.1:\d+ .*\.$/,
    );
    return result.withoutTimestamp;
  };

  test('is not there is issued without one', async () => {
    const server = await timestampServer(honest(authority));
    await server.close();
    const result = await stampPdf({ pdf: record, issuedAt }, timestampAuthority(server.address));
    expect(sha256(result.pdf)).toBe(sha256(record));
    expect(result.withoutTimestamp).toContain('could not be reached');
  });

  test('is slow is issued without one', async () => {
    expect(await lost(() => undefined, 200)).toContain('did not answer within 0.2 seconds');
  });

  test('begins and never ends its answer is issued without one', async () => {
    expect(await lost((_query, response) => void response.writeHead(200).write('0'), 200)).toContain(
      'did not answer within 0.2 seconds',
    );
  });

  test('stamps another digest is issued without one', async () => {
    const wrong = () => authority.reply(opensslQuery({ data: Buffer.from('something else') }));
    expect(await lost((_query, response) => void response.end(wrong()))).toContain(
      'is about something else than this signature',
    );
  });

  test('answers another nonce is issued without one', async () => {
    const again = (query: Buffer) => {
      const imprint = members(members(readElement(query))[1]!)[1]!.content.toString('hex');
      return authority.reply(opensslQuery({ digest: imprint }));
    };
    expect(await lost((query, response) => void response.end(again(query)))).toContain(
      'answers another question than the one asked',
    );
  });

  test('answers without the nonce is issued without one', async () => {
    const bare = (query: Buffer) => {
      const [version, imprint, , wish] = members(readElement(query)).map((m) => m.whole);
      return authority.reply(sequence(version!, imprint!, wish!));
    };
    expect(await lost((query, response) => void response.end(bare(query)))).toContain('another question');
  });

  test('answers garbage, nothing, half an answer or an error is issued without one', async () => {
    const half: Answer = (query, response) => void response.end(authority.reply(query).subarray(0, 500));
    expect(await lost(send(Buffer.from('<html>no</html>')))).toContain('cannot be read');
    expect(await lost(send(Buffer.alloc(0)))).toContain('cannot be read');
    expect(await lost(half)).toContain('cannot be read');
    expect(await lost(send(Buffer.from('no'), 503))).toContain('answered with HTTP status 503');
    expect(await lost((_query, response) => void response.writeHead(302, { location: '/' }).end())).toContain(
      'could not be reached',
    );
  });

  test('refuses is issued without one, with its own words', async () => {
    const status = sequence(integer(Buffer.from([2])), sequence(utf8('not to-day')));
    const refusal = send(sequence(status));
    expect(await lost(refusal)).toContain('refuses: not to-day');
  });

  test('sends too much is issued without one', async () => {
    expect(await lost(send(Buffer.alloc(70_000, 0x30)))).toContain('sent more than any answer takes');
  });

  test('has a weak key is issued without one', async () => {
    expect(await lost(honest(opensslAuthority({ key: 'weak' })))).toContain('is signed with a weak key');
  });

  test.each<[string, string]>([
    ['mail', 'critical,emailProtection'],
    ['mail too', 'critical,timeStamping,emailProtection'],
    ['timestamps, but not as a must', 'timeStamping'],
  ])('holds a certificate for %s is issued without one', async (_what, usage) => {
    const made = opensslAuthority({ usage });
    const answer: Answer = (query, response) => {
      const token = made.signed(infoOf(authority.reply(query)));
      response.end(sequence(sequence(integer(Buffer.from([0]))), token));
    };
    expect(await lost(answer)).toContain('by a certificate that may not sign timestamps');
  });

  test('says a time before its certificate began is issued without one', async () => {
    const answer: Answer = (query, response) => {
      const info = infoOf(authority.reply(query)).toString('latin1');
      const earlier = info.replace(/\d{14}Z/, (time) => halfAnHourBefore(time));
      expect(earlier).not.toBe(info);
      const token = authority.signed(Buffer.from(earlier, 'latin1'));
      response.end(sequence(sequence(integer(Buffer.from([0]))), token));
    };
    expect(await lost(answer)).toContain('from a time for which its certificate does not hold');
  });

  test('is honest in the same roundabout way is issued with one', async () => {
    const { timestamp } = await stampedBy((query, response) => {
      const token = authority.signed(infoOf(authority.reply(query)));
      response.end(sequence(sequence(integer(Buffer.from([0]))), token));
    });
    expect(timestamp?.authority).toBe('Slack Water timestamps');
  });

  test.each([-2, 2])('says a time %i hours from the record’s own is issued without one', async (hours) => {
    const then = new Date(Date.parse(issuedAt) + hours * 3_600_000);
    const older = await signPdf(await smallRecord(signer, then), signer);
    const result = await stampedBy(honest(authority), {
      pdf: older,
      issuedAt: `${then.toISOString().slice(0, 19)}Z`,
    });
    expect(sha256(result.pdf)).toBe(sha256(older));
    expect(result.withoutTimestamp).toContain('more than an hour');
  });

  test('changes one byte of its answer is issued without one, or with a whole one', async () => {
    let at = 0;
    const results = [];
    const bytes = [30, 60, 120, 300, 600, 900, 1200, 1500, 1700];
    for (at of bytes)
      results.push(
        await stampedBy((query, response) => void response.end(flipped(authority.reply(query), at))),
      );
    for (const { pdf, timestamp } of results)
      expect(await verifyRecord(pdf)).toMatchObject({ state: 'intact', ...(timestamp && { timestamp }) });
    // Which of the bytes fall where nobody vouches for them differs with the lengths of each answer's numbers.
    const refused = results.filter(({ withoutTimestamp }) => withoutTimestamp !== undefined);
    expect(refused.length).toBeGreaterThan(2);
  });
});

function withCms(pdf: Buffer, cms: Buffer): Buffer {
  const changed = Buffer.from(pdf);
  const start = pdf.indexOf('/Contents <') + '/Contents <'.length;
  const room = pdf.indexOf('>', start) - start;
  changed.write(cms.toString('hex').padEnd(room, '0'), start, 'latin1');
  return changed;
}

/** What the authority of an answer signed. */
function infoOf(reply: Buffer): Buffer {
  const content = members(members(members(members(readElement(reply))[1]!)[1]!)[0]!);
  return members(members(content[2]!)[1]!)[0]!.content;
}

function certificatesIn(pdf: Buffer): number {
  const token = readSignedData(readElement(cutSignature(pdf).cms).whole).timestamp!;
  const content = members(members(members(readElement(token))[1]!)[0]!);
  return members(content.find(({ tag }) => tag === 0xa0)!).length;
}
