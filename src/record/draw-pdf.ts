import { Buffer } from 'node:buffer';
import { tones } from '../drawing/appearance.js';
import type { Attachment } from './attached-data.js';
import type { Section } from './document/block.js';
import type { RecordDocument } from './document.js';
import { drawBlocks, picturesBeginning } from './draw/blocks.js';
import { type Beginning, drawContents, keepContents } from './draw/contents.js';
import { manners } from './draw/face.js';
import { drawFooters } from './draw/footer.js';
import { Paper, sheets } from './draw/paper.js';
import { loadPdfKit } from './draw/pdfkit.js';
import type { PhotoBytes } from './draw/photos.js';
import { printable } from './draw/printable.js';
import { signaturesBeginning } from './draw/signatures.js';
import { tableBeginning } from './draw/table.js';
import { recordMark } from './signed-facts.js';

/** How a record is kept: PDF/A-3 carries files and tags; PDF/A-1 carries neither and has a validator that the tests can run. */
interface Archival {
  readonly pdfVersion: '1.7' | '1.4';
  readonly subset: 'PDF/A-3b' | 'PDF/A-1b';
}
const archival: Archival = { pdfVersion: '1.7', subset: 'PDF/A-3b' };

/**
 * Draws a record as a PDF (tagged, faces embedded, laid out as PDF/A-3b) with an empty signature field for `signPdf`. The same
 * input gives the same bytes. Throws AppError `bad-file` where a photo is missing.
 */
export function drawPdf(
  record: RecordDocument,
  photos: PhotoBytes,
  attachments: readonly Attachment[],
  kept = archival,
): Promise<Buffer> {
  const at = new Date(record.issuedAt);
  const doc = openDocument(record, at, kept);
  const root = doc.struct('Document');
  doc.addStructure(root);
  const paper = new Paper(doc, root, record.paper);
  drawCover(paper, record, photos);
  const contents = keepContents(paper, record);
  const begins = record.sections.map((section, k) => drawSection(paper, section, k + 1, photos));
  drawContents(paper, contents, record, begins);
  root.end();
  drawFooters(paper, record);
  for (const { name, description, type, data } of attachments)
    doc.file(data, {
      // PDF/A-3 asks for it, and the types of the library do not know it.
      ...{ relationship: 'Data' },
      name,
      description,
      type,
      creationDate: at,
      modifiedDate: at,
    });
  return ended(doc);
}

function openDocument(record: RecordDocument, at: Date, kept: Archival): PDFKit.PDFDocument {
  const PDFDocument = loadPdfKit();
  const doc = new PDFDocument({
    ...kept,
    size: [sheets[record.paper].width, sheets[record.paper].height],
    margins: { top: 0, bottom: 0, left: 0, right: 0 },
    bufferPages: true,
    autoFirstPage: false,
    tagged: true,
    lang: 'en-US',
    displayTitle: true,
    info: {
      Title: metadata(`Record of job ${record.job}, revision ${record.revision}`),
      Author: metadata(record.shop),
      Creator: recordMark,
      Producer: recordMark,
      CreationDate: at,
    },
  });
  // Its first level is in sight, which pdfkit says only of an outline that was asked to stand open.
  Object.assign(doc.outline, { options: { expanded: true } });
  doc.addPage();
  return doc;
}

/** Metadata is written into XML as it is: the three letters that would break it are written in words. */
function metadata(text: string): string {
  return printable(text).replace(/&/g, 'and').replace(/</g, '(').replace(/>/g, ')');
}

function drawCover(paper: Paper, record: RecordDocument, photos: PhotoBytes): void {
  const { cover } = record;
  const kicker = paper.linesOf(record.shop, manners.kicker, paper.fullWidth);
  const title = paper.linesOf(cover.title, manners.title, paper.fullWidth);
  const van = paper.linesOf(record.van, manners.lead, paper.fullWidth);
  paper.artifact(() => paper.doc.rect(paper.left, 40, 46, 3).fillColor(tones.accent).fill());
  paper.marked('P', () => paper.set(kicker, manners.kicker, paper.left, paper.y));
  paper.y += kicker.length * manners.kicker.leading + 4;
  paper.marked('H1', () => paper.set(title, manners.title, paper.left, paper.y));
  paper.y += title.length * manners.title.leading + 2;
  paper.marked('P', () => paper.set(van, manners.lead, paper.left, paper.y));
  paper.y += van.length * manners.lead.leading + 9;
  paper.doc.outline.addItem(printable(cover.title));
  drawBlocks(paper, cover.blocks, photos);
}

/** Draws a section and answers where it begins. */
function drawSection(paper: Paper, section: Section, number: number, photos: PhotoBytes): Beginning {
  // What is cut out has nothing behind it but its own page.
  if (section.blocks.some((block) => block.kind === 'cut-outs') && paper.y > paper.top) paper.newPage();
  else paper.ensure(roomToBegin(paper, section));
  if (paper.y > paper.top) paper.y += 16;
  const title = paper.linesOf(`${number}  ${section.title}`, manners.section, paper.fullWidth);
  const { y } = paper;
  paper.marked('H1', () => paper.set(title, manners.section, paper.left, y));
  paper.doc.outline.addItem(printable(`${number} ${section.title}`));
  paper.y += title.length * manners.section.leading + 3;
  paper.rule(paper.y, { ink: tones.ink, width: 0.9 });
  paper.y += 9;
  const { page } = paper.doc;
  const begins = {
    number: paper.doc.bufferedPageRange().count,
    page: page.dictionary,
    height: page.height - y + 6,
  };
  drawBlocks(paper, section.blocks, photos);
  return begins;
}

/** What a section needs of the page for its title not to stand with a sentence alone, pt. */
function roomToBegin(paper: Paper, { blocks }: Section): number {
  const at = blocks.findIndex((block) => block.kind !== 'paragraph');
  const first = blocks[at];
  if (first?.kind === 'photos' || first?.kind === 'scene') return 300;
  if (first?.kind === 'scenes') return Math.max(190, 60 + picturesBeginning(paper, first.scenes));
  if (first?.kind === 'signatures') return 60 + signaturesBeginning;
  if (first?.kind !== 'table') return 190;
  const said = blocks.slice(0, at).map((block) => {
    const { text = '', manner = undefined } = block.kind === 'paragraph' ? block : {};
    const set = manner === undefined ? manners.body : manners[manner];
    return paper.linesOf(text, set, paper.fullWidth).length * set.leading + 5;
  });
  return Math.max(150, 52 + said.reduce((sum, height) => sum + height, 0) + tableBeginning(paper, first));
}

function ended(doc: PDFKit.PDFDocument): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const chunks: Buffer[] = [];
    doc.on('data', (chunk: Buffer) => chunks.push(chunk));
    doc.on('end', () => resolve(Buffer.concat(chunks)));
    doc.on('error', reject);
    doc.end();
  });
}
