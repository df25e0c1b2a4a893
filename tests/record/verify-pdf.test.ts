import { Buffer } from 'node:buffer';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Signer } from '../../src/record/keys.js';
import { signPdf } from '../../src/record/sign-pdf.js';
import { type Verification, verifyRecord } from '../../src/record/verify-pdf.js';
import { edited, idOf, rewritten, signedAnyhow } from './reworked-pdf.js';
import { smallRecord, testSigner } from './small-record.js';

let signer: Signer;
let record: Buffer;
beforeAll(async () => {
  signer = testSigner();
  record = await signPdf(await smallRecord(signer), signer);
});

const reasons = (v: Verification) => v.reasons.join(' ');

describe('a record', () => {
  test('is intact as it was issued, by a signer not known', async () => {
    const seen = await verifyRecord(record);
    expect(seen).toMatchObject({
      state: 'intact',
      signer: 'unknown',
      fingerprint: signer.fingerprint,
      facts: { job: '2026-014', revision: 1, issuedAt: '2026-03-04T10:00:00Z', issuedBy: 'Ines Okafor' },
    });
  });

  test('is by a known signer where its certificate or root is among the known ones', async () => {
    for (const known of [signer.fingerprint, signer.rootFingerprint])
      expect(await verifyRecord(record, { knownFingerprints: ['0'.repeat(64), known] })).toMatchObject({
        state: 'intact',
        signer: 'known',
      });
  });

  test('takes the asked-for fingerprint as people write it', async () => {
    const asked = signer.rootFingerprint.toUpperCase().match(/../g)!.join(':');
    expect(await verifyRecord(record, { fingerprint: asked })).toMatchObject({
      state: 'intact',
      signer: 'known',
    });
  });

  test('of another signer than the asked-for one is not called intact', async () => {
    const seen = await verifyRecord(record, { fingerprint: testSigner().fingerprint });
    expect(seen).toMatchObject({ state: 'another-signer', signer: 'unknown' });
  });

  test('with an update appended is not intact', async () => {
    for (const more of ['\n', '\0', '%%EOF\n', record.subarray(-200).toString('latin1')])
      expect((await verifyRecord(Buffer.concat([record, Buffer.from(more, 'latin1')]))).state).toBe(
        'not-intact',
      );
  });

  test('cut short anywhere is not intact', async () => {
    for (let size = 0; size < record.length; size += 997)
      expect((await verifyRecord(record.subarray(0, size))).state).not.toBe('intact');
  });

  test('whose signature was written again by another key says so', async () => {
    const other = testSigner();
    const forged = await signPdf(await smallRecord(other), other);
    const seen = await verifyRecord(forged, { knownFingerprints: [signer.fingerprint] });
    expect(seen).toMatchObject({ state: 'intact', signer: 'unknown' });
    expect(reasons(seen)).not.toContain('when Thimble Lane Vanworks issued it');
    expect(reasons(seen)).toContain('It calls its shop Thimble Lane Vanworks');
  });

  test('that names another signer than its own does not leave the signer', async () => {
    for (const named of ['fingerprint', 'rootFingerprint']) {
      const lying = await smallRecord(signer, undefined, { [named]: '0'.repeat(64) });
      await expect(signPdf(lying, signer)).rejects.toThrow('does not verify');
    }
  });

  test('that prints another time than it is signed for does not leave the signer', async () => {
    const lying = await smallRecord(signer, undefined, { issuedAt: '2026-03-04T10:00:01Z' });
    await expect(signPdf(lying, signer)).rejects.toThrow('does not verify');
  });

  test('signed before its certificate began does not leave the signer', async () => {
    const early = await smallRecord(signer, new Date('2026-03-02T08:59:59Z'));
    await expect(signPdf(early, signer)).rejects.toThrow('does not verify');
  });

  test('signed after its certificate ended does not leave the signer', async () => {
    const late = await smallRecord(signer, new Date('2099-03-02T09:00:00Z'));
    await expect(signPdf(late, signer)).rejects.toThrow('does not verify');
  });

  test('whose logbook is shorter than it says does not leave the signer', async () => {
    const short = await smallRecord(signer, undefined, { entries: 3 });
    await expect(signPdf(short, signer)).rejects.toThrow('does not verify');
  });
});

describe('what is no record', () => {
  test.each([
    ['an empty file', ''],
    ['a text', 'hello'],
    ['a picture', '\x89PNG\r\n\x1a\n'],
    ['another PDF', '%PDF-1.7\n1 0 obj\n<<>>\nendobj\nxref\n0 1\n'],
  ])('%s is called no record', async (_, text) => {
    expect((await verifyRecord(Buffer.from(text, 'latin1'))).state).toBe('not-a-record');
  });

  test('an unsigned draft is not intact', async () => {
    const seen = await verifyRecord(await smallRecord(signer));
    expect(seen.state).not.toBe('intact');
    expect(reasons(seen)).not.toBe('');
  });

  test('any bytes at all are answered without a throw', async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ maxLength: 600 }), async (bytes) => {
        expect((await verifyRecord(bytes)).state).not.toBe('intact');
      }),
      { numRuns: 300 },
    );
  });

  test('records with pieces cut out, doubled or moved are answered without a throw', async () => {
    const within = fc.integer({ min: 0, max: record.length });
    await fc.assert(
      fc.asyncProperty(within, within, within, async (a, b, c) => {
        const [from, to] = [Math.min(a, b), Math.max(a, b)];
        const piece = record.subarray(from, to);
        const rest = Buffer.concat([record.subarray(0, from), record.subarray(to)]);
        const moved = Buffer.concat([rest.subarray(0, c), piece, rest.subarray(c)]);
        if (!moved.equals(record)) expect((await verifyRecord(moved)).state).not.toBe('intact');
        expect(from === to || (await verifyRecord(rest)).state !== 'intact').toBe(true);
      }),
      { numRuns: 200 },
    );
  });
});

describe('one changed byte', () => {
  const flipped = (at: number, mask: number) => {
    const bytes = Buffer.from(record);
    bytes[at] = bytes[at]! ^ mask;
    return bytes;
  };

  test('anywhere makes the record not intact', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 0, max: record.length - 1 }),
        fc.integer({ min: 1, max: 255 }),
        async (at, mask) => {
          expect((await verifyRecord(flipped(at, mask))).state).not.toBe('intact');
        },
      ),
      { numRuns: 1500 },
    );
  });

  test('at each place within the signature makes the record not intact, in any case of letter', async () => {
    const from = record.indexOf('/Contents <') + '/Contents <'.length;
    const used = record.subarray(from).indexOf('0'.repeat(64));
    const survivors: string[] = [];
    for (let at = from - 1; at < from + used + 4; at += 1)
      for (const mask of at % 4 === 0 ? [0x01, 0x20] : [0x20])
        if ((await verifyRecord(flipped(at, mask))).state === 'intact')
          survivors.push(`${at - from}^${mask}`);
    expect(survivors).toEqual([]);
  });

  test('in the room left behind the signature makes the record not intact', async () => {
    const from = record.indexOf('/Contents <') + '/Contents <'.length;
    for (const at of [4000, 10_000, 20_000, 32_767, 32_768])
      expect((await verifyRecord(flipped(from + at, 0x01))).state).toBe('not-intact');
  });

  test('before the signature, in it and behind it is put into words', async () => {
    for (const at of [100, record.indexOf('/Contents <') + 200, record.length - 100]) {
      const seen = await verifyRecord(flipped(at, 0x01));
      expect(seen.state).toBe('not-intact');
      expect(reasons(seen)).toMatch(/^The .*\.$/);
    }
  });
});

describe('a file whose signature is right, and which the shop’s own key signed another way than records are, is none:', () => {
  test.each<[string, string | RegExp, string | RegExp, string, string]>([
    ['with two fields', '/Fields', /\[(.*)\]/, '[$1 $1]', 'does not have exactly one signature'],
    ['in a field of another kind', '/Subtype /Widget', '/FT /Sig', '/FT /Btn', 'is not signed the way'],
    [
      'of another form',
      '/Type /Sig\n',
      'ETSI.CAdES.detached',
      'adbe.pkcs7.detached',
      'is not signed the way',
    ],
    ['certified by something else', /\n\/DocMDP \d/, /\d+ 0 R/, '14 0 R', 'is not certified the way'],
    ['with a certificate beside it', '/Type /Sig\n', '/M (', '/Cert (x)\n/M (', 'is not certified the way'],
    ['with leave to change it', '/Type /Sig\n', '/P 1', '/P 2', 'is not certified the way'],
    ['for some fields alone', '/Type /Sig\n', '/DocMDP', '/FieldMDP', 'is not certified the way'],
    ['that refers to two', '/Type /Sig\n', /\[(<<[^\]]*)\]/, '[$1 $1]', 'is not certified the way'],
  ])('%s', async (_what, mark, from, to, why) => {
    const changed = rewritten(record, new Map([edited(record, idOf(record, mark), from, to)]));
    const seen = await verifyRecord(await signedAnyhow(changed, signer.sign));
    expect(seen.state).not.toBe('intact');
    expect(reasons(seen)).toContain(why);
  });
});
