import { Buffer } from 'node:buffer';
import { rmSync } from 'node:fs';
import type { Worker } from 'node:worker_threads';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import type { Signer } from '../../src/record/keys.js';
import { TimestampError } from '../../src/record/timestamp-token.js';
import { verifyPages } from '../../src/record/verify-pages.js';
import { importJob } from '../../src/store/carry/import-job.js';
import { readJobFile } from '../../src/store/carry/job-file.js';
import { type IssueLimits, type IssuerParts, makeIssuer } from '../../src/store/issue-apart.js';
import { type IssueWish, issueJob } from '../../src/store/issue-job.js';
import { openStore, type Store } from '../../src/store/open-store.js';
import { openShopSigner } from '../../src/store/shop-signer.js';
import { scratchFolder } from '../scratch-folder.js';
import { furnishShop, playedFile } from '../web/played-shop.js';
import { standingClock } from './temp-store.js';

const limits: IssueLimits = { milliseconds: 60_000, mebibytes: 256 };

let store: Store;
let signer: Signer;
let wish: IssueWish;
beforeAll(async () => {
  const clock = standingClock();
  store = openStore({ dir: scratchFolder(), clock });
  furnishShop({ store, clock });
  const { number: job } = await importJob(store, readJobFile(JSON.stringify(await playedFile())));
  signer = openShopSigner(store);
  const by = 'Ines Okafor';
  wish = { job, revision: 1, at: clock().toISOString(), by, signature: { name: by, strokes: [] } };
});
afterAll(() => {
  store.close();
  rmSync(store.dir, { recursive: true });
});

function issuerWith(parts: Partial<IssuerParts> = {}, within: Partial<IssueLimits> = {}) {
  const issuer = makeIssuer({ dir: store.dir, signer: () => signer, ...parts }, { ...limits, ...within });
  onTestFinished(() => issuer.stop());
  return issuer;
}

/** The bytes of a record without its signature, which is another one each time. */
const unsigned = (pdf: Buffer) => pdf.toString('latin1').replace(/\/Contents <[0-9a-f]+>/, '');

test('a record issued in a thread is the one issued here but for its signature, and others have their turn meanwhile', async () => {
  const issuer = issuerWith();
  let turns = 0;
  const others = setInterval(() => {
    turns += 1;
  }, 5);
  const apart = await issuer.issue(wish);
  clearInterval(others);
  // A logbook that was read keeps its words in another order than one just written.
  const beside = openStore({ dir: store.dir, clock: standingClock(), readOnly: true });
  onTestFinished(() => beside.close());
  const here = await issueJob(beside, { signer }, wish);
  expect(unsigned(apart.pdf) === unsigned(here.pdf)).toBe(true);
  expect({ ...apart.body, sha256: '' }).toEqual({ ...here.body, sha256: '' });
  expect(apart.body.head).toBe(store.logbook.entries(wish.job).at(-1)?.digest);
  expect(await verifyPages(apart.pdf)).toMatchObject({ state: 'intact', pages: { read: 'same' } });
  // Drawn in this thread, hardly one would have had its turn.
  expect(turns).toBeGreaterThan(30);
});

test('the thread is handed certificates and a signature, and nothing of the key', async () => {
  const signed: Buffer[] = [];
  const watched: Signer = {
    ...signer,
    sign: () => Promise.reject(new Error('the whole record came over to be signed')),
    signAttributes(attributes) {
      signed.push(Buffer.from(attributes));
      return signer.signAttributes(attributes);
    },
  };
  const { pdf } = await issuerWith({ signer: () => watched }).issue(wish);
  expect(signed.map((bytes) => bytes.length < 400)).toEqual([true]);
  expect(await verifyPages(pdf)).toMatchObject({ state: 'intact' });
});

test.each([
  ['time', { milliseconds: 1 }, /takes longer to draw.*Nothing was issued/],
  ['memory', { mebibytes: 4 }, /takes more memory to draw.*Nothing was issued/],
])('given no %s it says so', async (_what, narrow, message) => {
  const refused = issuerWith({}, narrow).issue(wish);
  await expect(refused).rejects.toMatchObject({
    code: 'record-unfinished',
    message: expect.stringMatching(message),
  });
});

test('after one that was refused or that came to nothing the next is issued', async () => {
  const unable: Signer = { ...signer, signAttributes: () => Promise.reject(new Error('the key was pulled')) };
  const signers = [unable, signer, signer, signer];
  const issuer = issuerWith({ signer: () => signers.shift() as Signer });
  await expect(issuer.issue(wish)).rejects.toThrow('the key was pulled');
  const nowhere = issuer.issue({ ...wish, job: '2026-999' });
  await expect(nowhere).rejects.toMatchObject({ code: 'not-found', message: 'There is no job 2026-999.' });
  const second = issuer.issue({ ...wish, revision: 2 });
  await expect(second).rejects.toMatchObject({ code: 'out-of-order' });
  expect((await issuer.issue(wish)).body.revision).toBe(1);
});

test('takes one after the other, and sends away whoever comes while four are under way', async () => {
  const issuer = issuerWith({}, { milliseconds: 1 });
  const all = await Promise.allSettled(Array.from({ length: 5 }, () => issuer.issue(wish)));
  expect(all.map((one) => one.status === 'rejected' && one.reason.code)).toEqual([
    ...Array(4).fill('record-unfinished'),
    'too-many',
  ]);
});

test('no thread outlives its record, issued or not', async () => {
  const threads: Worker[] = [];
  const note = (thread: Worker) => void threads.push(thread);
  process.on('worker', note);
  onTestFinished(() => void process.off('worker', note));
  const issuer = issuerWith();
  await issuer.issue(wish);
  await expect(issuer.issue({ ...wish, revision: 2 })).rejects.toMatchObject({ code: 'out-of-order' });
  // The number of a thread that has ended.
  expect(threads.map((thread) => thread.threadId)).toEqual([-1, -1]);
});

test('an authority is asked from this side; what it answers, or why not, comes with the record', async () => {
  const asked: number[] = [];
  const authority = {
    host: 'time.example',
    async ask(request: Uint8Array): Promise<Buffer> {
      asked.push(request.length);
      throw new TimestampError('could not be reached');
    },
  };
  const { timestamp, pdf } = await issuerWith({ authority }).issue(wish);
  expect(timestamp).toBe('The record has no timestamp: the authority time.example could not be reached.');
  expect(asked).toHaveLength(1);
  expect(await verifyPages(pdf)).toMatchObject({ state: 'intact' });
});
