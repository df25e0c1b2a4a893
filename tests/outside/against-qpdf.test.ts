import type { Buffer } from 'node:buffer';
import { beforeAll, describe, expect, test } from 'vitest';
import { filesIn, runTool } from '../record/outside-tool.js';
import { sampleRecord } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';

/** qpdf and poppler's pdffonts and pdfinfo as independent readers of the file's structure (ISO 32000-1). */

let path: string;
beforeAll(async () => {
  const record: Buffer = await sampleRecord(testSigner(), {
    photos: 7,
    note: 'Drilled & deburred, < 1 mm of play.',
  });
  path = filesIn({ 'record.pdf': record })['record.pdf'];
});

describe('qpdf', () => {
  test('finds no error in the file', () => {
    const { code, text } = runTool('qpdf', ['--check', path]);
    expect(text).toContain('No syntax or stream encoding errors found');
    expect(code).toBe(0);
  });

  test('finds the attachments, and the job’s logbook in one of them', () => {
    const { text } = runTool('qpdf', ['--list-attachments', path]);
    for (const name of ['job.json', 'readings.csv', 'readings.json', 'record.json', 'record.schema.json'])
      expect(text).toContain(name);
    const job = JSON.parse(runTool('qpdf', ['--show-attachment=job.json', path]).text);
    expect(job.format).toBe('inlet-job/1');
    expect(job.entries.length).toBeGreaterThan(30);
    const readings = JSON.parse(runTool('qpdf', ['--show-attachment=readings.json', path]).text);
    expect(readings.format).toBe('inlet-readings/1');
  });
});

describe('poppler', () => {
  test('finds every face embedded', () => {
    const rows = runTool('pdffonts', [path]).text.trim().split('\n').slice(2);
    expect(rows.length).toBeGreaterThanOrEqual(3);
    for (const row of rows) expect(row).toMatch(/SourceSans3.* yes yes yes /);
  });

  test('finds a tagged letter-size document of version 1.7 with its title', () => {
    const { text } = runTool('pdfinfo', [path]);
    expect(text).toMatch(/Title:\s+Record of job 2026-014, revision 1/);
    expect(text).toMatch(/Tagged:\s+yes/);
    expect(text).toMatch(/Page size:\s+612 x 792 pts \(letter\)/);
    expect(text).toMatch(/PDF version:\s+1\.7/);
    expect(text).toMatch(/JavaScript:\s+no/);
  });

  test('finds A4 sheets where the shop works in metric units', async () => {
    const record = await sampleRecord(testSigner(), {}, { units: 'metric' });
    expect(runTool('pdfinfo', [filesIn({ record }).record]).text).toMatch(/Page size:.*\(A4\)/);
  });

  test('reads tables with heads, headings, lists and pictures with words out of the structure', () => {
    const { text } = runTool('pdfinfo', ['-struct', path]);
    for (const element of ['H1', 'H2', 'Table', 'TR', 'TH', 'TD', 'L', 'LI', 'Figure'])
      expect(text).toMatch(new RegExp(`^\\s+${element}\\b`, 'm'));
  });
});
