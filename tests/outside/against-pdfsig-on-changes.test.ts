import { Buffer } from 'node:buffer';
import { writeFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import type { FileIo } from '../../src/command.js';
import { runVerify } from '../../src/command-line/verify-command.js';
import { fromPem, type Signer } from '../../src/record/keys.js';
import { blankByteRange, reservedBytes } from '../../src/record/signature-field.js';
import { readSignedData, signedData } from '../../src/record/signed-data.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { filesIn, flipped, runTool } from '../record/outside-tool.js';
import {
  appended,
  attachmentId,
  edited,
  idOf,
  object,
  objectsOf,
  rewritten,
  signatureSpan,
  signedAnyhow,
  spreadOver,
} from '../record/reworked-pdf.js';
import { sampleRecord } from '../record/sample-record.js';
import { smallRecord, testSigner } from '../record/small-record.js';

/**
 * A whole record, changed in every way that a reader of signatures should notice, before our own check and before poppler's pdfsig
 * (ISO 32000-1 12.8). pdfsig judges the signature over the bytes that it names and says whether they are all: no more is asked of it.
 */

let signer: Signer;
let record: Buffer;
let other: Buffer;
beforeAll(async () => {
  signer = testSigner();
  record = await sampleRecord(signer);
  other = await sampleRecord(signer, { note: 'Another job altogether.' }, { revision: 2 });
});

const state = async (pdf: Buffer) => (await verifyRecord(pdf)).state;

const { path } = filesIn({ path: '' });
function pdfsig(pdf: Buffer): { valid: boolean; whole: boolean } {
  writeFileSync(path, pdf);
  const { text } = runTool('pdfsig', ['-nocert', path]);
  return { valid: text.includes('Signature is Valid'), whole: text.includes('Total document signed') };
}
const pdfsigTakes = (pdf: Buffer) => {
  const { valid, whole } = pdfsig(pdf);
  return valid && whole;
};

/** The outside reader must take the file for a PDF, or the change would be told by its clumsiness alone. */
function wellFormed(pdf: Buffer): Buffer {
  const { code, text } = runTool('qpdf', ['--check', filesIn({ pdf }).pdf]);
  expect(text).toContain('No syntax or stream encoding errors found');
  expect(code).toBe(0);
  return pdf;
}

describe('the record itself', () => {
  test('is taken by our check and by pdfsig, also where it was only written anew by these tests', async () => {
    expect(pdfsigTakes(record)).toBe(true);
    expect(await state(record)).toBe('intact');
    expect(rewritten(record, new Map()).equals(record)).toBe(true);
    expect((await signedAnyhow(record, signer.sign)).length).toBe(record.length);
    expect(await state(await signedAnyhow(record, signer.sign))).toBe('intact');
  });
});

describe('one changed byte', () => {
  test('at each of 420 places spread over the record is told, and pdfsig refuses all of 60 that are not in the signature', async () => {
    const where = spreadOver(record, 420);
    expect(new Set(where).size).toBe(420);
    const { from, used } = signatureSpan(record);
    const missed: number[] = [];
    const taken: number[] = [];
    for (const [k, at] of where.entries()) {
      const bytes = flipped(record, at, 1 << (k % 8));
      if (!(await state(bytes)).startsWith('not-')) missed.push(at);
      if (k % 7 === 0 && pdfsigTakes(bytes)) taken.push(at);
    }
    expect(missed).toEqual([]);
    // Within the signature pdfsig lets pass what it does not look at: the root's certificate, and capitals in the hexadecimal text.
    expect(taken.filter((at) => at < from || at > used)).toEqual([]);
    expect(taken.length).toBeLessThanOrEqual(2);
  });
});

describe('an update appended behind the signature', () => {
  const page = () => idOf(record, /\/Type \/Page\n[\s\S]*\/StructParents 0\n/);
  const free = () => Math.max(...objectsOf(record).keys()) + 1;
  const form = () => idOf(record, /\/SigFlags 3/);
  const catalogue = () => idOf(record, /\/Type \/Catalog/);

  const updates: Record<string, () => Map<number, Buffer>> = {
    'that holds nothing': () => new Map(),
    'that sets other words on page one': () => {
      const words = 'BT /F1 12 Tf 72 72 Td (30 A) Tj ET';
      return new Map([
        edited(record, page(), /\/Contents (\d+) 0 R/, `/Contents [$1 0 R ${free()} 0 R]`),
        [free(), object(free(), `<<\n/Length ${words.length}\n>>\nstream\n${words}\nendstream`)],
      ]);
    },
    'that adds a second signature field': () =>
      new Map([
        edited(record, form(), /\/Fields \[(\d+ 0 R)\]/, `/Fields [$1 ${free()} 0 R]`),
        edited(record, page(), /\/Tabs \/S/, `/Tabs /S\n/Annots [${free()} 0 R]`),
        [
          free(),
          object(
            free(),
            `<< /Type /Annot /Subtype /Widget /FT /Sig /T (Second) /F 132 /Rect [0 0 0 0] /P ${page()} 0 R >>`,
          ),
        ],
      ]),
    'that takes the mark against change away': () =>
      new Map([edited(record, catalogue(), /\/Perms \d+ 0 R\n/, '')]),
    'that puts another record’s data in place': () => new Map([swapped('record.json'), swapped('job.json')]),
  };

  test.each(Object.keys(updates))('%s is told, and pdfsig says that not all is signed', async (name) => {
    const changed = wellFormed(appended(record, updates[name]!()));
    expect(changed.subarray(0, record.length).equals(record)).toBe(true);
    expect(await verifyRecord(changed)).toMatchObject({
      state: 'not-intact',
      reasons: [expect.stringContaining('changed after it was issued')],
    });
    expect(pdfsig(changed)).toEqual({ valid: true, whole: false });
  });

  test('that certifies it once more by another key is told', async () => {
    const second = free();
    const thief = testSigner();
    const widget = idOf(record, /\/FT \/Sig/);
    const signature = object(
      second,
      `<< /Type /Sig /Filter /Adobe.PPKLite /SubFilter /ETSI.CAdES.detached /M (D:20260304100000Z)\n${blankByteRange}\n/Contents <${'0'.repeat(reservedBytes * 2)}> >>`,
    );
    const changed = appended(
      record,
      new Map([edited(record, widget, /\/V \d+ 0 R/, `/V ${second} 0 R`), [second, signature]]),
    );
    const signed = wellFormed(await signedAnyhow(changed, thief.sign, record.length));
    expect(pdfsigTakes(signed)).toBe(true);
    expect(await state(signed)).toBe('not-intact');
  });
});

describe('attachments of another record of the shop', () => {
  test.each([[['record.json']], [['job.json']], [['record.json', 'job.json']]])(
    '%j in place of its own are told, and pdfsig agrees',
    async (names) => {
      const changed = wellFormed(rewritten(record, new Map(names.map((name) => swapped(name)))));
      expect(changed.equals(record)).toBe(false);
      expect(await verifyRecord(changed)).toMatchObject({
        state: 'not-intact',
        reasons: [expect.stringContaining('its digest is another one')],
      });
      expect(pdfsig(changed).valid).toBe(false);
    },
  );

  test('are told where the file is signed again by the shop itself, since they belong together', async () => {
    for (const name of ['record.json', 'job.json']) {
      const changed = await signedAnyhow(rewritten(record, new Map([swapped(name)])), signer.sign);
      expect(pdfsigTakes(changed)).toBe(true);
      expect(await verifyRecord(changed)).toMatchObject({
        state: 'not-intact',
        reasons: [expect.stringMatching(/^The (attached logbook|record)/)],
      });
    }
  });
});

describe('a file cut off', () => {
  test('at each of 20 places is told, and pdfsig agrees', async () => {
    for (let k = 0; k < 20; k += 1) {
      const cut = record.subarray(0, Math.floor((record.length * (k + 0.5)) / 20));
      expect(['not-intact', 'not-a-record']).toContain(await state(cut));
      expect(pdfsigTakes(cut)).toBe(false);
    }
    // Where what makes it a record is still in it, it is called a damaged one.
    expect(await state(record.subarray(0, -1))).toBe('not-intact');
  });
});

describe('a record by another key under the same shop’s name', () => {
  let forged: Buffer;
  let forger: Signer;
  beforeAll(async () => {
    forger = testSigner();
    forged = await sampleRecord(forger);
  });

  async function verify(...asked: string[]): Promise<{ code: number; text: string }> {
    const out: string[] = [];
    const io: FileIo = {
      out: (line) => void out.push(line),
      err: (line) => void out.push(line),
      readFile: async () => '',
      readBytes: async () => forged,
      writeBytes: async () => {},
    };
    return { code: await runVerify(['record.pdf', ...asked], io), text: out.join('\n') };
  }

  test.each(['fingerprint', 'rootFingerprint'] as const)(
    'is called another signer’s where the shop’s %s is asked for',
    async (which) => {
      const { code, text } = await verify('--fingerprint', signer[which]);
      expect(code).toBe(1);
      expect(text).toContain('not by the signer asked for');
      expect(text).toContain('signed by someone else');
      expect(await verifyRecord(forged, { fingerprint: signer[which] })).toMatchObject({
        state: 'another-signer',
        signer: 'unknown',
      });
    },
  );

  test('is by nobody known where nobody is asked for, though pdfsig shows the shop’s name', async () => {
    const { text } = await verify();
    expect(text).toContain('The signer is unknown here');
    const shown = runTool('pdfsig', ['-nocert', filesIn({ forged }).forged]).text;
    expect(shown).toContain('Certificate Common Name: Thimble Lane Vanworks');
    expect(shown).toContain('Signature is Valid');
  });

  test('is not intact where it names the shop’s fingerprints as its own', async () => {
    const { fingerprint, rootFingerprint } = signer;
    const draft = await smallRecord(signer, undefined, { fingerprint, rootFingerprint });
    const lying = await signedAnyhow(draft, forger.sign);
    expect(pdfsigTakes(lying)).toBe(true);
    expect(await verifyRecord(lying, { fingerprint: rootFingerprint })).toMatchObject({
      state: 'not-intact',
      reasons: ['The record names another signer than the one who signed it.'],
    });
  });

  test('is not intact where it lays the shop’s root beside a certificate that is not under it', async () => {
    const { rootFingerprint } = signer;
    const draft = await smallRecord(forger, undefined, { rootFingerprint });
    const lying = await signedAnyhow(draft, async (bytes) =>
      signedData({
        ...readSignedData(Buffer.from(await forger.sign(bytes))),
        root: fromPem(signer.root),
      }),
    );
    expect(pdfsigTakes(lying)).toBe(true);
    expect(await verifyRecord(lying, { fingerprint: rootFingerprint })).toMatchObject({
      state: 'not-intact',
      reasons: [expect.stringContaining('does not stand under the root beside it')],
    });
  });

  test('is not intact where it is only the shop’s record with the signature exchanged', async () => {
    const again = await signedAnyhow(record, forger.sign);
    expect(pdfsigTakes(again)).toBe(true);
    expect(await state(again)).toBe('not-intact');
  });
});

/** An attachment of the other record under the number that it has in this one. */
function swapped(name: string): [number, Buffer] {
  const stream = objectsOf(other).get(attachmentId(other, name)) as Buffer;
  const id = attachmentId(record, name);
  return [id, Buffer.concat([Buffer.from(`${id} 0 obj`), stream.subarray(stream.indexOf('\n'))])];
}
