import { Buffer } from 'node:buffer';
import { beforeAll, describe, expect, test } from 'vitest';
import { type FileIo, UsageError } from '../../src/command.js';
import { runVerify } from '../../src/command-line/verify-command.js';
import { signPdf } from '../../src/record/sign-pdf.js';
import { flipped } from '../record/outside-tool.js';
import { playedRecord, playedSigner } from '../record/played-record.js';
import { edited, idOf, rewritten, signedAnyhow } from '../record/reworked-pdf.js';
import { smallRecord, testSigner } from '../record/small-record.js';

const signer = testSigner();
const files = new Map<string, Buffer>();
beforeAll(async () => {
  const record = await signPdf(await smallRecord(signer), signer);
  files.set('record.pdf', record);
  files.set('changed.pdf', flipped(record, 500));
  files.set('empty.pdf', Buffer.alloc(0));
  files.set('letter.txt', Buffer.from('a letter'));
  files.set(
    'sly.pdf',
    await signPdf(await smallRecord(signer, undefined, { van: 'x\u001b[2J\nfake: intact' }), signer),
  );
});

function writingTo(out: string[]): FileIo {
  return {
    out: (line) => out.push(line),
    err: (line) => out.push(line),
    readFile: async () => '',
    readBytes: async (path) => files.get(path) ?? Promise.reject(new Error('ENOENT')),
    writeBytes: async () => {},
  };
}

async function verify(...args: string[]): Promise<{ code: number; out: string[] }> {
  const out: string[] = [];
  return { code: await runVerify(args, writingTo(out)), out };
}

describe('verify', () => {
  test('answers 0 for an intact record and says that its signer is unknown', async () => {
    const { code, out } = await verify('record.pdf');
    expect(code).toBe(0);
    expect(out[0]).toBe('record.pdf: an intact record');
    expect(out.join('\n')).toContain('The signer is unknown here');
    expect(out.join('\n')).toContain('Job 2026-014, revision 1');
    expect(out.at(-1)).toBe('  This says nothing about the wiring.');
  });

  test('says of a file that takes more than it is given that nothing is known of it, and answers 1', async () => {
    const out: string[] = [];
    const none = { milliseconds: 1, mebibytes: 64 };
    expect(await runVerify(['record.pdf'], writingTo(out), none)).toBe(1);
    expect(out[0]).toBe('record.pdf: not checked');
    expect(out[1]).toContain('Nothing is known of it');
    expect(await runVerify(['--json', 'record.pdf'], writingTo(out), none)).toBe(1);
    expect(JSON.parse(out.at(-1) ?? '')).toMatchObject({ file: 'record.pdf', state: 'not-checked' });
  });

  test('answers 0 for the fingerprint asked for and 1 for another signer', async () => {
    expect((await verify('record.pdf', '--fingerprint', signer.rootFingerprint)).code).toBe(0);
    expect((await verify('record.pdf', '--fingerprint', signer.fingerprint.toUpperCase())).code).toBe(0);
    const other = await verify('record.pdf', '--fingerprint', 'c'.repeat(64));
    expect(other.code).toBe(1);
    expect(other.out[0]).toContain('not by the signer asked for');
  });

  test.each(['changed.pdf', 'empty.pdf', 'letter.txt'])('answers 1 for %s', async (path) => {
    const { code, out } = await verify(path);
    expect(code).toBe(1);
    expect(out[0]).toMatch(/: not (intact|a record)$/);
  });

  test('answers 1 for a right signature on pages that do not read as their data say', async () => {
    const by = playedSigner();
    const record = await playedRecord(by);
    const pages = edited(record, idOf(record, /\/Type \/Pages\n/), /\/Kids \[\d+ 0 R /, '/Kids [');
    files.set('shorter.pdf', await signedAnyhow(rewritten(record, new Map([pages])), by.sign));
    const { code, out } = await verify('shorter.pdf', '--fingerprint', by.rootFingerprint);
    expect([code, out[0]]).toEqual([1, 'shorter.pdf: intact, but not as the data attached to it say']);
  }, 60_000);

  test('prints one line of JSON where asked', async () => {
    const { out } = await verify('record.pdf', '--json');
    expect(out).toHaveLength(1);
    expect(JSON.parse(out[0]!)).toMatchObject({ file: 'record.pdf', state: 'intact', signer: 'unknown' });
    expect(JSON.parse((await verify('letter.txt', '--json')).out[0]!)).toMatchObject({
      state: 'not-a-record',
    });
  });

  test('lets a file write no line of its own and steer no terminal', async () => {
    const { out } = await verify('sly.pdf');
    expect(out.join('')).not.toMatch(/\p{Cc}/u);
    expect(out.filter((line) => line.startsWith('fake'))).toEqual([]);
  });

  test.each([
    [['nowhere.pdf'], 'nowhere.pdf: cannot be read'],
    [[], 'needs FILE.pdf'],
    [['record.pdf', 'changed.pdf'], 'needs FILE.pdf'],
    [['record.pdf', '--fingerprint', 'abc'], '64 hexadecimal digits'],
    [['record.pdf', '--colour'], '--colour'],
  ])('refuses %j as a wrong argument', async (args, message) => {
    const refusal = await verify(...args).catch((error: unknown) => error);
    expect(refusal).toBeInstanceOf(UsageError);
    expect((refusal as UsageError).message).toContain(message);
  });
});
