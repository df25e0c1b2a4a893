import { Buffer } from 'node:buffer';
import { beforeAll, describe, expect, test } from 'vitest';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { filesIn, flipped, runTool } from '../record/outside-tool.js';
import { sampleRecord } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';

/** Poppler's pdfsig and pdftotext as independent readers. pdfsig always ends with 0: its text is what counts. */

let record: Buffer;
beforeAll(async () => {
  const now = Date.now();
  const issuedAt = `${new Date(now).toISOString().slice(0, 19)}Z`;
  record = await sampleRecord(testSigner(new Date(now - 86_400_000)), {}, { issuedAt });
});

const pdfsig = (pdf: Buffer) =>
  runTool('pdfsig', ['-nocert', filesIn({ 'record.pdf': pdf })['record.pdf']]).text;
const textOf = (pdf: Buffer) =>
  runTool('pdftotext', ['-layout', filesIn({ 'record.pdf': pdf })['record.pdf'], '-']).text;

describe('pdfsig', () => {
  test('calls the certifying signature of a record valid and the whole document signed', () => {
    const text = pdfsig(record);
    expect(text).toContain('Signature is Valid');
    expect(text).toContain('Total document signed');
    expect(text).toContain('ETSI.CAdES.detached');
    expect(text).toContain('Thimble Lane Vanworks');
    expect(text.match(/Signature #/g)).toHaveLength(1);
  });

  test('does not call it valid when one byte is changed', () => {
    for (const at of [20_000, record.length - 3000])
      expect(pdfsig(flipped(record, at))).not.toContain('Signature is Valid');
  });

  test('still calls it valid with an update behind it, which our own check does not', async () => {
    const updated = withUpdate(record);
    const text = pdfsig(updated);
    expect(text).toContain('Signature is Valid');
    expect(text).not.toContain('Total document signed');
    expect((await verifyRecord(updated)).state).toBe('not-intact');
  });
});

describe('pdftotext', () => {
  test('finds the job number, the van, both names, and every caution of page one', () => {
    const text = textOf(record).replace(/\s+/g, ' ');
    for (const wanted of [
      '2026-014',
      'Marginalia',
      'Ines Okafor',
      'Tam Whitlock',
      'Odile Brandt',
      'Mains voltage kills',
    ])
      expect(text).toContain(wanted);
  });

  test('finds every reading and every torque as they were written down', () => {
    const text = textOf(record);
    for (const shown of [
      '0.07 Ω',
      '0.1 Ω',
      '0.13 Ω',
      'OL (over 40 MΩ)',
      '119.6 V',
      '119.5 V',
      '119.4 V',
      '4.87 Ω',
      '12.1 V',
    ])
      expect(text).toContain(shown);
    expect(text).toContain('115.1 V at');
    expect(text.match(/14 in-lbf \(1\.58 N·m\)/g)).toHaveLength(15);
  });

  test('finds the job and the page at the foot of each page, and no page without them', () => {
    const pages = textOf(record).split('\f').slice(0, -1);
    expect(pages.length).toBeGreaterThan(8);
    pages.forEach((page, k) => {
      expect(page).toContain(`page ${k + 1} of ${pages.length}`);
      expect(page.replace(/\s+/g, ' ').length).toBeGreaterThan(300);
    });
  });
});

/** What an editor appends when it changes the title: a new object, a table for it and a trailer that names the old one. */
function withUpdate(pdf: Buffer): Buffer {
  const text = pdf.toString('latin1');
  const before = /startxref\n(\d+)\n%%EOF\n$/.exec(text)![1];
  const trailer = text.slice(text.lastIndexOf('trailer'));
  const size = Number(/\/Size (\d+)/.exec(trailer)![1]);
  const root = /\/Root (\d+ 0 R)/.exec(trailer)![1];
  const at = pdf.length;
  const object = `${size} 0 obj\n<< /Title (Another title) >>\nendobj\n`;
  const table = `xref\n${size} 1\n${String(at).padStart(10, '0')} 00000 n \n`;
  const end = `trailer\n<< /Size ${size + 1} /Root ${root} /Info ${size} 0 R /Prev ${before} >>\nstartxref\n${at + object.length}\n%%EOF\n`;
  return Buffer.concat([pdf, Buffer.from(object + table + end, 'latin1')]);
}
