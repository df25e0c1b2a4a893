import type { Buffer } from 'node:buffer';
import { beforeAll, describe, expect, test } from 'vitest';
import { demoInstruments, demoPeople, demoScript } from '../../seed-demo/demo-script.js';
import { drawPhotos } from '../../seed-demo/draw-photo.js';
import { playJob } from '../../seed-demo/play-job.js';
import { type FileIo, UsageError } from '../../src/command.js';
import { runRecord } from '../../src/command-line/record-command.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { stepsOf } from '../../src/steps/steps-of.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { signature } from '../record/sample-job.js';

const files = new Map<string, string>();
const written = new Map<string, Buffer>();

/** The demonstration's job as a file without digests: whole, and without its second look. */
beforeAll(async () => {
  const circuit = demoCircuit();
  const drawn = await drawPhotos(stepsOf(circuit));
  const entries = playJob({
    ...demoScript(circuit),
    photo: (step, ask) => drawn.get(`${step.id}.${ask.id}`)?.body,
    until: (job) => job.next?.step.id === 'issue-record',
  }).map(({ at, by, kind, subject, body }) => ({ at, by, kind, subject, body }));
  const look = {
    at: '2026-09-15T16:00:00.000Z',
    by: { id: 'p-tam', name: 'Tam Whitlock' },
    kind: 'second look signed',
    subject: 'job',
    body: { statement: 'Looked at all of it.', signature: signature('Tam Whitlock') },
  };
  const photos = Object.fromEntries(
    [...drawn.values()].map((d) => [d.body.photo, d.jpeg.toString('base64')]),
  );
  const job = {
    format: 'inlet-job/1',
    job: '2026-001',
    people: demoPeople,
    instruments: demoInstruments,
    photos,
  };
  files.set('whole.json', JSON.stringify({ ...job, entries: [...entries, look] }));
  const statement = 'Looked at all of it, 漢.';
  files.set(
    'letters.json',
    JSON.stringify({ ...job, entries: [...entries, { ...look, body: { ...look.body, statement } }] }),
  );
  files.set('unlooked.json', JSON.stringify({ ...job, entries }));
  files.set('photoless.json', JSON.stringify({ ...job, photos: {}, entries: [...entries, look] }));
  const [one, two] = Object.keys(photos) as [string, string];
  const exchanged = { ...photos, [one]: photos[two] };
  files.set('exchanged.json', JSON.stringify({ ...job, photos: exchanged, entries: [...entries, look] }));
  files.set('text.json', 'no JSON');
  files.set('other.json', '{"format":"inlet-circuit/1"}');
});

async function record(...args: string[]): Promise<{ code: number; out: string[] }> {
  const out: string[] = [];
  const io: FileIo = {
    out: (line) => out.push(line),
    err: (line) => out.push(line),
    readFile: async () => Promise.reject(new Error('ENOENT')),
    readBytes: async (path) => {
      const text = files.get(path);
      if (text === undefined) throw new Error('ENOENT');
      return new TextEncoder().encode(text);
    },
    writeBytes: async (path, bytes) => {
      if (path === 'locked.pdf') throw new Error('EACCES');
      written.set(path, bytes as Buffer);
    },
  };
  return { code: await runRecord(args, io, () => new Date('2026-11-25T10:00:00.400Z')), out };
}

describe('record', () => {
  test('writes a record that verifies, with a key made for the occasion, and says so', async () => {
    const { code, out } = await record('whole.json', '--out', 'r.pdf');
    expect([code, out.join('\n')]).toEqual([
      0,
      expect.stringContaining('Signed with a key made for the occasion'),
    ]);
    const seen = await verifyRecord(written.get('r.pdf')!);
    expect(seen).toMatchObject({
      state: 'intact',
      facts: { job: '2026-001', issuedAt: '2026-11-25T10:00:00Z' },
    });
    expect(out.join('\n')).toContain((seen as { fingerprint: string }).fingerprint);
    const text = runTool('pdftotext', ['-layout', filesIn({ pdf: written.get('r.pdf')! }).pdf, '-']).text;
    expect(text.replace(/\s+/g, ' ')).toContain(
      'Signed with a key made for the occasion: the signature shows',
    );
    expect(text).toContain('Tam Whitlock');
  });

  test('says before it writes which letters it prints as their number', async () => {
    const { code, out } = await record('letters.json', '--out', 'letters.pdf');
    expect([code, out[0]]).toEqual([
      0,
      'record: letters.json: “Looked at all of it, 漢.” has letters that the record cannot print: 漢; each is printed as its number',
    ]);
  });

  test('names what bars the record and answers 1', async () => {
    const { code, out } = await record('unlooked.json', '--out', 'barred.pdf');
    expect([code, out]).toEqual([
      1,
      [
        'record: unlooked.json: the record cannot be issued yet: Tam Whitlock has not signed the second look.',
      ],
    ]);
    expect(written.has('barred.pdf')).toBe(false);
  });

  test.each([
    [['whole.json'], 'needs --out FILE.pdf'],
    [['--out', 'r.pdf'], 'needs JOB.json'],
    [['nowhere.json', '--out', 'r.pdf'], 'nowhere.json: cannot be read'],
    [['text.json', '--out', 'r.pdf'], 'text.json: is not JSON'],
    [['other.json', '--out', 'r.pdf'], 'other.json: format: must be inlet-job/1'],
    [['photoless.json', '--out', 'r.pdf'], 'is named but not in the file'],
    [['exchanged.json', '--out', 'r.pdf'], 'is not the one that its digest names'],
    [['whole.json', '--out', 'locked.pdf'], 'locked.pdf: cannot be written'],
  ])('refuses %j with one line', async (args, message) => {
    const refusal = await record(...args).catch((error: unknown) => error);
    expect(refusal).toBeInstanceOf(UsageError);
    expect((refusal as UsageError).message).toContain(message);
  });
});
