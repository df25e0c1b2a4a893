import { Buffer } from 'node:buffer';
import { beforeAll, describe, expect, test } from 'vitest';
import { verifyApart } from '../../src/record/verify-apart.js';
import { verifyPages } from '../../src/record/verify-pages.js';
import { playedRecord, playedSigner } from './played-record.js';

let record: Buffer;
beforeAll(async () => {
  record = await playedRecord(playedSigner());
});

describe('a record looked at in a process of its own', () => {
  test('gets the same answer, and the process goes on meanwhile', async () => {
    let answered = 0;
    const others = setInterval(() => {
      answered += 1;
    }, 5);
    const seen = await verifyApart(record);
    clearInterval(others);
    expect(seen).toEqual(await verifyPages(record));
    // Drawn in this thread, hardly one would have had its turn.
    expect(answered).toBeGreaterThan(30);
  });

  test('that is given no time or no memory is not answered for, and the next one is', async () => {
    const [hurried, cramped, next] = await Promise.all([
      verifyApart(record, {}, { milliseconds: 1, mebibytes: 512 }),
      verifyApart(record, {}, { milliseconds: 20_000, mebibytes: 4 }),
      verifyApart(record.subarray(900)),
    ]);
    expect([hurried, cramped]).toEqual(['ended', 'ended']);
    expect(next).toMatchObject({ state: 'not-intact' });
  });

  test('that holds one name of fourteen million letters ends nothing but its own look', async () => {
    const head = '%PDF-1.7\n1 0 obj\n<< /';
    const object = `${head}${'#41'.repeat(4_600_000)} 1 >>\nendobj\n`;
    const table = 'xref\n0 2\n0000000000 65535 f \n0000000009 00000 n \n';
    const trailer = `trailer\n<<\n/Root 1 0 R\n>>\nstartxref\n${object.length}\n%%EOF\n`;
    const file = Buffer.from(object + table + trailer, 'latin1');
    expect(await verifyApart(file)).toBe('ended');
  });

  test('waits for a few before it, and is sent away by many', async () => {
    const none = { milliseconds: 1, mebibytes: 64 };
    const all = await Promise.all(Array.from({ length: 6 }, () => verifyApart(record, {}, none)));
    expect(all).toEqual(['ended', 'ended', 'ended', 'ended', 'busy', 'busy']);
    expect(await verifyApart(record, {}, none)).toBe('ended');
  });
});
