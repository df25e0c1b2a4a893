import { Buffer } from 'node:buffer';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { makeDemo } from '../../src/command-line/make-demo.js';
import { readJobFile } from '../../src/store/carry/job-file.js';
import { unzipJob } from '../../src/store/carry/job-zip.js';
import { openStore } from '../../src/store/open-store.js';
import { demoJobText } from '../store/demo-job-file.js';
import { tempFolder } from '../store/temp-store.js';
import { runHere as run } from './run-here.js';

describe('a job.json whose photos lie beside it', () => {
  const whole = JSON.parse(demoJobText);
  const [first, second] = Object.keys(whole.photos) as [string, string];

  /** The demonstration in a folder: its photos as files but for the first, which lies in there as told or stays inside. */
  function laidOut(beside?: Buffer, photos: Record<string, string> = {}): { data: string; path: string } {
    const data = tempFolder();
    mkdirSync(`${data}/photos`);
    writeFileSync(`${data}/job.json`, JSON.stringify({ ...whole, photos }));
    for (const [digest, text] of Object.entries(whole.photos) as [string, string][])
      if (digest !== first) writeFileSync(`${data}/photos/${digest}.jpg`, Buffer.from(text, 'base64'));
    if (beside !== undefined) writeFileSync(`${data}/photos/${first}.jpg`, beside);
    return { data: `${data}/shop`, path: `${data}/job.json` };
  }
  const jpegOf = (digest: string) => Buffer.from(whole.photos[digest], 'base64');

  test('is taken in, and taken out again with the same photos', async () => {
    const { data, path } = laidOut(jpegOf(first));
    expect(await run('import', path, '--data', data)).toMatchObject({ status: 0, err: '' });
    const { out } = await run('export', '2026-001', '--data', data);
    expect(JSON.parse(out).photos).toEqual(whole.photos);
  }, 60_000);

  test('gives a record, also where one photo is inside and the others are beside', async () => {
    const { path } = laidOut(undefined, { [first]: whole.photos[first] });
    const { status, out } = await run('record', path, '--out', `${path}.pdf`);
    expect([status, out]).toEqual([0, expect.stringMatching(/^Record of job 2026-001/)]);
  }, 60_000);

  test.each(['import', 'record'])(
    'is refused by %s with one line for a photo that is wrong or missing',
    async (command) => {
      const wrong = [
        [laidOut(jpegOf(second)), /is not the one that its digest names$/],
        [laidOut(Buffer.from('no picture')), /is not the one that its digest names$/],
        [laidOut(), new RegExp(`is named but not in the file, nor is there a photos/${first}.jpg$`)],
        // What is inside counts, though the right one lies beside.
        [laidOut(jpegOf(first), { [first]: whole.photos[second] }), /is not the one that its digest names$/],
      ] as const;
      for (const [{ data, path }, words] of wrong) {
        const more = command === 'import' ? ['--data', data] : ['--out', `${path}.pdf`];
        const { status, err } = await run(command, path, ...more);
        expect([status, err]).toEqual([2, expect.stringMatching(words)]);
        expect(err.split('\n')).toHaveLength(1);
      }
    },
    60_000,
  );

  test('cannot name a photo by a path', async () => {
    const { data, path } = laidOut(jpegOf(first));
    const job = { ...whole, photos: {} };
    const entry = job.entries.find((e: { kind: string }) => e.kind === 'photo added');
    for (const photo of [`../photos/${first}`, `../../${first.slice(6)}`, '/etc/hostname']) {
      const entries = job.entries.map((e: object) =>
        e === entry ? { ...e, body: { ...entry.body, photo } } : e,
      );
      writeFileSync(path, JSON.stringify({ ...job, entries }));
      const { status, err } = await run('import', path, '--data', data);
      expect([status, err]).toEqual([2, expect.stringMatching(/\(photo added\): photo: /)]);
    }
  });

  test('is taken in with its issued record beside it', async () => {
    const data = tempFolder();
    const from = openStore({ dir: `${data}/first`, clock: () => new Date() });
    const { number } = await makeDemo(from, () => new Date(), readJobFile(demoJobText));
    from.close();
    const { out } = await run('export', number, '--data', `${data}/first`);
    const { records, ...job } = JSON.parse(out);
    const [[digest, pdf]] = Object.entries(records) as [[string, string]];
    writeFileSync(`${data}/job.json`, JSON.stringify(job));
    const without = await run('import', `${data}/job.json`, '--data', `${data}/second`);
    expect(without.err).toMatch(new RegExp(`nor is there a records/${digest}.pdf$`));
    mkdirSync(`${data}/records`);
    writeFileSync(`${data}/records/${digest}.pdf`, Buffer.from(pdf, 'base64'));
    expect(await run('import', `${data}/job.json`, '--data', `${data}/second`)).toMatchObject({ status: 0 });
    const again = await run('export', number, '--data', `${data}/second`);
    expect(JSON.parse(again.out).records).toEqual(records);
    // A zip has it too: without its record the job could be brought in nowhere.
    const zip = `${data}/job.zip`;
    expect(await run('export', number, '--zip', zip, '--data', `${data}/first`)).toMatchObject({ status: 0 });
    expect(unzipJob(readFileSync(zip)).records).toEqual(records);
  }, 60_000);
});
