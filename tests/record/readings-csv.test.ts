import { expect, test } from 'vitest';
import { readingsCsv } from '../../src/record/readings-csv.js';
import { sampleJob } from './sample-job.js';

const lines = async () => readingsCsv(await sampleJob()).split('\r\n');

test('every reading is a line with its value, limit, verdict, meter and time', async () => {
  const [head, ...rows] = await lines();
  const columns = head!.split(',');
  const g3 = Object.fromEntries(
    [...rows.find((row) => row.startsWith('G3,'))!.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].map(
      ([, cell], k) => [columns[k], cell],
    ),
  );
  expect(g3).toMatchObject({
    required: 'yes',
    upper: '0.5',
    shown: '0.13 Ω',
    value: '0.13',
    unit: 'Ω',
    verdict: 'pass',
    by: 'Ines Okafor',
    instrument: 'TLV-07',
  });
  expect(rows).toHaveLength((await sampleJob()).readings.size + 1);
});

test('over-limit has no number, and a missing reading none either', async () => {
  const rows = await lines();
  expect(rows.find((row) => row.includes('OL (over 40 MΩ)'))).toMatch(/OL \(over 40 MΩ\),,Ω,/);
});

test('a cell with a comma or a quote is quoted, and one that a spreadsheet would compute is led by an apostrophe', async () => {
  const job = await sampleJob();
  const [id, reading] = [...job.readings][0]!;
  const named = (title: string) =>
    readingsCsv({
      ...job,
      readings: new Map([[id, { ...reading, planned: { ...reading.planned, title } }]]),
    });
  expect(named('bench, "left" wall')).toContain(',"bench, ""left"" wall",');
  expect(named('=1+1')).toContain(",'=1+1,");
});
