import { Buffer } from 'node:buffer';
import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, test } from 'vitest';
import { canonicalJson, type Json } from '../../src/logbook/canonical.js';
import type { Block, Cell, Section } from '../../src/record/document/block.js';
import { readingsCsv } from '../../src/record/readings-csv.js';
import { recordFactsJsonSchema } from '../../src/record/record-facts.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { readingsFileOf } from '../../src/steps/readings-file-of.js';
import { runJava } from '../outside/java-tool.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { type IssuedKind, issuedKinds, type RecordKind, recordKinds } from '../record/record-kinds.js';

/**
 * Apache PDFBox (Debian's libpdfbox2-java) as a second library that reads records: pages, texts, attachments, title, language and the
 * structure tree. Its texts come in the order in which they were written (nothing sorted by place), which must be the reading order.
 */

interface Read {
  readonly title: string[];
  readonly language: string[];
  /** Name and SHA-256 in hex. */
  readonly attachment: string[];
  readonly page: string[];
  readonly heading: string[];
  readonly contents: string[];
  /** The marked texts of a page but the contents, one a line. */
  readonly tagged: string[];
}

let issued: Map<RecordKind, IssuedKind>;
const read = new Map<RecordKind, Read>();
beforeAll(async () => {
  issued = await issuedKinds();
  const files = filesIn(Object.fromEntries([...issued.values()].map(({ pdf }, k) => [`${k}.pdf`, pdf])));
  const answers = readAnswers(runJava('ReadRecord', Object.values(files)));
  recordKinds.forEach((kind, k) => {
    read.set(kind, answers[k]!);
  });
});

function readAnswers(text: string): Read[] {
  const answers: Read[] = [];
  for (const line of text.trim().split('\n')) {
    const [what, coded] = line.split(' ');
    if (what === 'file')
      answers.push({
        title: [],
        language: [],
        attachment: [],
        page: [],
        heading: [],
        contents: [],
        tagged: [],
      });
    else answers.at(-1)![what as keyof Read].push(Buffer.from(coded ?? '', 'base64').toString('utf8'));
  }
  return answers;
}

describe.each(recordKinds)('PDFBox reads in a record %s', (kind) => {
  const of = () => ({ ...issued.get(kind)!, ...read.get(kind)! });

  test('its title, its language and as many pages as poppler does, each with its number at the end', () => {
    const { document, pdf, title, language, page } = of();
    const { job, revision } = document;
    expect(title).toEqual([`Record of job ${job}, revision ${revision}`]);
    expect(language).toEqual(['en-US']);
    const counted = /^Pages:\s+(\d+)$/m.exec(runTool('pdfinfo', [filesIn({ pdf }).pdf]).text)?.[1];
    expect(page).toHaveLength(Number(counted));
    page.forEach((text, k) => {
      expect(text.trimEnd().endsWith(`page ${k + 1} of ${page.length}`)).toBe(true);
      expect(letters(text).length).toBeGreaterThan(150);
    });
  });

  test('its attachments by name, byte for byte', async () => {
    const { request, pdf, attachment } = of();
    const seen = await verifyRecord(pdf);
    if (seen.state !== 'intact') throw new Error(seen.reasons.join(' '));
    const pretty = (value: object) => `${JSON.stringify(value, null, 1)}\n`;
    const expected = {
      'job.json': request.jobFile,
      'readings.csv': readingsCsv(request.assessment),
      'readings.json': pretty(readingsFileOf(request.assessment)),
      'record.json': canonicalJson(seen.facts as unknown as Json),
      'record.schema.json': pretty(recordFactsJsonSchema()),
    };
    const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');
    expect([...attachment].sort()).toEqual(
      Object.entries(expected).map(([name, text]) => `${name} ${sha256(text)}`),
    );
  });

  test('the sections’ titles in their order, on the pages and in the structure', () => {
    const { document, page, heading } = of();
    const titles = document.sections.map(({ title }, k) => `${k + 1} ${title}`);
    const plain = (text: string) => text.replace(/\s+/g, ' ').trim();
    expect(heading.map(plain)).toEqual([document.cover.title, ...titles]);
    const lines = page.flatMap((text) => text.split('\n').map(plain));
    expect(lines.filter((line) => titles.includes(line))).toEqual(titles);
  });

  test('contents that name the page on which each section begins', () => {
    const { document, page, contents } = of();
    const plain = (text: string) => text.replace(/\s+/g, ' ').trim();
    const begins = document.sections.map(({ title }, k) => {
      const head = `${k + 1} ${title}`;
      return `${head} ${1 + page.findIndex((text) => text.split('\n').map(plain).includes(head))}`;
    });
    expect(contents.map(plain)).toEqual(begins);
    // They stand behind the cover and before the first section, in the file as on the page.
    const all = page.flatMap((text) => text.split('\n').map(plain));
    const first = all.indexOf(`1 ${document.sections[0]!.title}`);
    expect(all.slice(first - begins.length, first)).toEqual(begins);
  });

  test('the words of page one in the order in which the document was composed', () => {
    const { document, page } = of();
    const { shop, cover, van, job } = document;
    const composed = letters([shop, cover.title, van, ...saidIn(cover)].join(' '));
    const first = letters(page[0]!.slice(0, page[0]!.lastIndexOf(`Job ${job} · revision`)));
    expect(first.length).toBeGreaterThan(1000);
    // What does not fit on page one goes on behind it.
    expect(composed.startsWith(first) || first.startsWith(composed)).toBe(true);
  });

  test('every page in the order of its structure', () => {
    const { page, tagged } = of();
    expect(tagged).toHaveLength(page.length);
    tagged.forEach((text, k) => {
      const whole = letters(page[k]!);
      let at = 0;
      const astray = text.split('\n').filter((piece) => {
        const found = whole.indexOf(letters(piece), at);
        if (found >= 0) at = found + letters(piece).length;
        return found < 0;
      });
      expect(astray, `page ${k + 1}`).toEqual([]);
    });
  });
});

/** What is compared: how lines were broken, and with what mark, is the printer's affair. */
const letters = (text: string) => text.normalize('NFC').replace(/[^\p{L}\p{N}]/gu, '');

/** What a section of words alone says, piece by piece in its order. */
function saidIn({ blocks }: Section): string[] {
  return blocks.flatMap((block: Block): string[] => {
    switch (block.kind) {
      case 'heading':
      case 'paragraph':
        return [block.text];
      case 'list':
        return block.items.flatMap((item, k) => (block.numbered ? [`${k + 1}`, item] : [item]));
      case 'pairs':
        return block.rows.flat();
      case 'table':
        return [...block.columns.map((c) => c.head), ...block.rows.flatMap(rowSaid)];
      default:
        throw new Error(`page one holds ${block.kind}`);
    }
  });
}

function rowSaid(row: object): string[] {
  if ('group' in row) return [`${row.group}`, 'beside' in row ? `${row.beside}` : ''];
  if ('note' in row) return [`${row.note}`];
  return (row as readonly Cell[]).flatMap((cell) =>
    typeof cell === 'string' ? [cell] : cell.map((line) => line.text),
  );
}
