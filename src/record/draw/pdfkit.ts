import { createRequire } from 'node:module';
import type PDFDocument from 'pdfkit';

/** pdfkit, loaded with the first page that is drawn: it takes 25 MB and a while, which most of what a shop does never needs. */
export function loadPdfKit(): typeof PDFDocument {
  return createRequire(import.meta.url)('pdfkit');
}
