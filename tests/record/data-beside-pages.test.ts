import { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, test } from 'vitest';
import { seal } from '../../src/logbook/chain.js';
import type { Entry } from '../../src/logbook/entry.js';
import { foldJob } from '../../src/logbook/job-log.js';
import { type Attachment, attachmentsIn, factsFrom } from '../../src/record/attached-data.js';
import { composeAgain } from '../../src/record/compose-again.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { issueRecord } from '../../src/record/issue-record.js';
import { readPdf } from '../../src/record/read-pdf.js';
import { verifyPages } from '../../src/record/verify-pages.js';
import { assess } from '../../src/steps/assess.js';
import { playedRecord, playedSigner } from './played-record.js';
import { edited, idOf, objectsOf, rewritten, signedAnyhow } from './reworked-pdf.js';
import { photoBytes } from './sample-job.js';
import { sampleFacts } from './sample-record.js';

/** Records as somebody makes them who has this program and a key: everything is signed, and what is attached is not what is printed. */

const signer = playedSigner();
let record: Buffer;
let attached: readonly Attachment[];
beforeAll(async () => {
  record = await playedRecord(signer);
  attached = attachmentsIn(readPdf(record));
});

const textOf = (name: string) => attached.find((file) => file.name === name)!.data.toString('utf8');
const factsOf = () => factsFrom(textOf('record.json'));
const entriesOf = () => (JSON.parse(textOf('job.json')) as { entries: Entry[] }).entries;

/** The same pages with other files attached, signed. */
async function withFiles(change: (files: readonly Attachment[]) => readonly Attachment[]): Promise<Buffer> {
  const { drawnFrom } = composeAgain(factsOf(), entriesOf(), textOf);
  const draft = await drawPdf(drawnFrom!.document, (id) => photoBytes.get(id), change(attached));
  return signedAnyhow(draft, signer.sign);
}
const withText = (name: string, change: (text: string) => string) =>
  withFiles((files) =>
    files.map((file) => (file.name === name ? { ...file, data: Buffer.from(change(textOf(name))) } : file)),
  );
const said = async (pdf: Buffer) => {
  const { state, reasons } = await verifyPages(pdf);
  return { state, last: reasons.at(-1) };
};
const file = (name: string): Attachment => ({
  ...{ name, description: '', type: 'application/json', data: Buffer.from('{}') },
});

describe('what is attached to a record', () => {
  test('unchanged is the record that it was', async () => {
    expect(await said(await withFiles((files) => files))).toEqual({
      state: 'intact',
      last: 'The pages read as the attached data say.',
    });
  });

  test('may not name another van than the pages', async () => {
    const sly = await withText('record.json', (text) => text.replace(/"van":"[^"]*"/, '"van":"Another one"'));
    expect(await verifyPages(sly)).toMatchObject({
      composedAgain: 'different',
      pages: { read: 'not-compared' },
    });
  });

  test('is all of it drawn again: a further file, a further word, another schema or description is told', async () => {
    const last =
      'The pages read as the attached data say, but something beside them is not as this program writes it.';
    for (const sly of [
      await withFiles((files) => [...files, file('open-me.json')]),
      await withFiles((files) => [file('job.json'), ...files]),
      await withText('record.json', (text) => text.replace('{', '{"a":"proven",')),
      await withText('record.schema.json', () => '{}'),
      await withFiles((files) => files.map((f) => ({ ...f, description: 'Proof' }))),
    ])
      expect(await said(sly)).toEqual({ state: 'other-pages', last });
  });

  test('is the whole logbook as it was sealed, to the end that the record names', async () => {
    const told = async (name: string, change: (text: string) => string) => {
      const { state, last } = await said(await withText(name, change));
      return [state, last];
    };
    const author = (text: string) => {
      const job = JSON.parse(text) as { entries: { by: { name: string } }[] };
      job.entries[3]!.by.name = 'Somebody';
      return JSON.stringify(job);
    };
    expect(await told('job.json', author)).toEqual([
      'not-intact',
      expect.stringContaining('does not hang together: entry'),
    ]);
    const end = (text: string) => text.replace(factsOf().head, 'a'.repeat(64));
    expect(await told('record.json', end)).toEqual([
      'not-intact',
      expect.stringContaining('does not end at the digest that the record names'),
    ]);
  });

  test('says nothing twice, and is of one job', async () => {
    const broken = async (pdf: Promise<Buffer>) => {
      const seen = await said(await pdf);
      expect(seen.state).toBe('not-intact');
      return seen.last;
    };
    const twice = (text: string) => text.replace('{', '{"entries":[],');
    expect(await broken(withText('job.json', twice))).toContain('data attached that no record writes so');
    const other = (text: string) => text.replace('{', '{"job":"2099-001",');
    expect(await broken(withText('job.json', other))).toContain('that of another job than the record says');
    const { head } = factsOf();
    const entries: Entry[] = [];
    for (const { digest: _digest, previous: _previous, seq: _seq, ...entry } of entriesOf())
      entries.push(seal({ ...entry, job: '2099-001' }, entries.at(-1)) as unknown as Entry);
    const others = (text: string) => JSON.stringify({ ...JSON.parse(text), entries });
    const strange = withFiles((files) =>
      files.map((f) => {
        const text = textOf(f.name);
        if (f.name === 'job.json') return { ...f, data: Buffer.from(others(text)) };
        return f.name === 'record.json'
          ? { ...f, data: Buffer.from(text.replace(head, entries.at(-1)!.digest)) }
          : f;
      }),
    );
    expect(await broken(strange)).toContain('that of another job than the record says');
    const named = edited(record, idOf(record, '/EmbeddedFiles'), '(job.json)', '(record.json)');
    const shadow = signedAnyhow(rewritten(record, new Map([named])), signer.sign);
    expect(await broken(shadow)).toContain('two attachments named record.json');
    const many = Array.from({ length: 30 }, (_, k) => file(`${k}.json`));
    expect(await broken(withFiles((files) => [...files, ...many]))).toContain('more attached than');
  });
});

describe('a stranger’s record', () => {
  test('whose photo is none is answered without a throw', async () => {
    const none = Buffer.from([0xff, 0xd8, 0xff, 0, 0, 0]);
    const digest = createHash('sha256').update(none).digest('hex');
    const [photo, picture] = [...photoBytes][0]!;
    const named = JSON.parse(JSON.stringify(entriesOf()).replaceAll(photo, digest)) as Entry[];
    const entries: Entry[] = [];
    for (const entry of named) entries.push(seal(entry, entries.at(-1)));
    const { pdf } = await issueRecord({
      assessment: assess(foldJob(entries))!,
      facts: { ...sampleFacts, job: '2026-001', issuedAt: '2026-09-20T10:00:00Z' },
      photos: (id) => (id === digest ? picture : photoBytes.get(id)),
      signer,
      jobFile: JSON.stringify({ format: 'inlet-job/1', entries }),
    });
    const [id, object] = [...objectsOf(pdf)].find(([, bytes]) => bytes.includes(picture))!;
    const head = object
      .toString('latin1', 0, object.indexOf(picture))
      .replace(/\/Length \d+/, `/Length ${none.length}`);
    const instead = Buffer.concat([Buffer.from(head, 'latin1'), none, Buffer.from('\nendstream\nendobj\n')]);
    const sly = await signedAnyhow(rewritten(pdf, new Map([[id, instead]])), signer.sign);
    expect(await said(sly)).toEqual({
      state: 'intact',
      last: 'Its pages were not compared: they cannot be drawn from it here.',
    });
  });

  test('is not asked for the meaning of what no logbook holds', async () => {
    const circuit = entriesOf().find((entry) => entry.kind === 'circuit set')!;
    const { run } = (circuit.body as { circuit: { run: { id: string }[] } }).circuit;
    const long = Array.from({ length: 200 }, (_, k) => ({ ...run[0], id: `o${k}` }));
    const entries = JSON.parse(
      JSON.stringify(entriesOf()).replaceAll(JSON.stringify(run), JSON.stringify(long)),
    ) as Entry[];
    expect(JSON.stringify(entries)).toContain('"o199"');
    expect(composeAgain(factsOf(), entries, textOf)).toEqual({ reads: 'different' });
  });
});
