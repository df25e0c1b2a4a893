import { belongTogether } from '../../circuit/figure-unit.js';
import { tones } from '../../drawing/appearance.js';
import type { PaperSize } from '../document.js';
import { type FaceWeight, faceFile, type Manner, manners, weights } from './face.js';
import { printable } from './printable.js';

/** The sheets that a record is printed on, pt: ANSI A and ISO 216 A4. */
export const sheets = {
  letter: { width: 612, height: 792 },
  A4: { width: 595.28, height: 841.89 },
} as const satisfies Record<PaperSize, { width: number; height: number }>;

/** From the edges of the sheet, pt; the footer stands in the lower one. */
const margin = { side: 54, top: 58, bottom: 64 };

export type Structure = PDFKit.PDFStructureElement;
/** What an element of the structure may say of itself: words for a picture with its box on the page, a head cell's reach. */
interface StructureOptions {
  readonly alt?: string;
  readonly bbox?: readonly [left: number, top: number, right: number, bottom: number];
  readonly scope?: 'Column' | 'Row';
  /** How many columns a cell spans, where it is more than one. */
  readonly columns?: number;
}

/**
 * The paper that a record is drawn on, from the top down: keeps the place, breaks pages, and gives every mark its part in the
 * document's structure. Text is set line by line, so that nothing moves to another page by itself.
 */
export class Paper {
  readonly left = margin.side;
  readonly top = margin.top;
  readonly right: number;
  readonly bottom: number;
  readonly fullWidth: number;
  y: number = margin.top;
  /** Widths by manner and text: a record says the same words hundreds of times, and each is measured to break its line. */
  readonly #widths = new Map<string, number>();

  constructor(
    readonly doc: PDFKit.PDFDocument,
    /** Where marks belong: the document, or the section being drawn. */
    public parent: Structure,
    size: PaperSize,
  ) {
    this.right = sheets[size].width - margin.side;
    this.bottom = sheets[size].height - margin.bottom;
    this.fullWidth = this.right - this.left;
    for (const weight of Object.keys(weights) as FaceWeight[]) doc.registerFont(weight, faceFile(weight));
  }

  /** Room left on this page, pt. */
  get room(): number {
    return this.bottom - this.y;
  }

  newPage(): void {
    this.doc.addPage();
    this.y = this.top;
  }

  /** Goes to a new page where less than `height` is left on this one. */
  ensure(height: number): void {
    if (this.room < height && this.y > this.top) this.newPage();
  }

  /** The lines that a text takes within a width; a word too wide for it is broken. */
  linesOf(text: string, manner: Manner, width: number): string[] {
    return text.split(/\r?\n/).flatMap((part) => this.#wrapped(printable(part), manner, width));
  }

  widthOf(text: string, { weight, size }: Manner): number {
    const key = `${weight} ${size} ${text}`;
    const known = this.#widths.get(key);
    if (known !== undefined) return known;
    const width = this.doc.font(weight).fontSize(size).widthOfString(text);
    this.#widths.set(key, width);
    return width;
  }

  /** Sets lines from the top `y` down. To be called within `marked` or `artifact`. */
  set(lines: readonly string[], manner: Manner, x: number, y: number): void {
    const { doc } = this;
    doc.font(manner.weight).fontSize(manner.size).fillColor(manner.ink);
    lines.forEach((line, k) => {
      const baseline = y + k * manner.leading + manner.leading * 0.76;
      // The space behind a line keeps words apart for whoever reads the text out of the file.
      doc.text(`${line} `, x, baseline, { lineBreak: false, baseline: 'alphabetic' });
    });
  }

  /** Draws what belongs to one element of the structure. */
  marked(type: string, draw: () => void, options: StructureOptions = {}, parent = this.parent): void {
    const { columns, ...own } = options;
    // An attribute must be there to write the span beside, so every such cell is given a scope.
    const scoped = columns === undefined ? own : { scope: 'Row', ...own };
    const element = this.doc.struct(type, scoped as PDFKit.Mixins.StructureElementOptions, [draw]);
    if (columns !== undefined) spanColumns(element, columns);
    parent.add(element);
  }

  /** Draws what carries no meaning of its own: rules, grounds, page numbers. */
  artifact(draw: () => void, type: 'Layout' | 'Pagination' = 'Layout'): void {
    this.doc.markContent('Artifact', { type });
    draw();
    this.doc.endMarkedContent();
  }

  rule(
    y: number,
    { ink = tones.faint as string, width = 0.6, from = this.left, to = this.right } = {},
  ): void {
    this.artifact(() => this.doc.moveTo(from, y).lineTo(to, y).lineWidth(width).strokeColor(ink).stroke());
  }

  /** A text over the full width, over as many pages as it takes. */
  paragraph(text: string, manner: Manner = manners.body): void {
    this.pageByPage(this.linesOf(text, manner, this.fullWidth), manner.leading, (now) => {
      const { y } = this;
      this.marked('P', () => this.set(now, manner, this.left, y));
    });
    this.y += 5;
  }

  /** Lines over as many pages as they take: `draw` sets from `y` down what stands on the page that is begun. */
  pageByPage(lines: readonly string[], leading: number, draw: (now: readonly string[]) => void): void {
    for (let left = lines; left.length > 0; ) {
      this.ensure(Math.min(left.length, 2) * leading);
      const now = left.slice(0, Math.max(1, Math.floor(this.room / leading)));
      draw(now);
      this.y += now.length * leading;
      left = left.slice(now.length);
    }
  }

  /** Whether so much stands on one page, however empty. */
  holds(height: number): boolean {
    return height <= this.bottom - this.top;
  }

  #wrapped(text: string, manner: Manner, width: number): string[] {
    const space = this.widthOf(' ', manner);
    const out: string[] = [];
    let line = '';
    let used = 0;
    for (const word of this.#words(text, manner, width).flatMap((w) => this.#pieces(w, manner, width))) {
      const wide = this.widthOf(word, manner);
      if (line !== '' && used + space + wide > width) {
        out.push(line);
        line = word;
        used = wide;
      } else {
        used += line === '' ? wide : space + wide;
        line = line === '' ? word : `${line} ${word}`;
      }
    }
    return [...out, line];
  }

  /** The words of a text; a figure and its unit or its name are one, where the line has room for it. */
  #words(text: string, manner: Manner, width: number): string[] {
    const words: string[] = [];
    for (const word of text.split(/ +/)) {
      const before = words.at(-1) ?? '';
      const pair = `${before} ${word}`;
      if (belongTogether(before, word) && this.widthOf(pair, manner) <= width) words.splice(-1, 1, pair);
      else words.push(word);
    }
    return words;
  }

  /** A word, broken into pieces where it is wider than the line. */
  #pieces(word: string, manner: Manner, width: number): string[] {
    if (this.widthOf(word, manner) <= width) return [word];
    const atHyphens = word.split(/(?<=[-–/])(?=.)/u);
    const units = atHyphens.every((part) => this.widthOf(part, manner) <= width) ? atHyphens : [...word];
    const pieces: string[] = [];
    let piece = '';
    for (const unit of units) {
      if (piece !== '' && this.widthOf(piece + unit, manner) > width) {
        pieces.push(piece);
        piece = '';
      }
      piece += unit;
    }
    return [...pieces, piece];
  }
}

/** The library has no option for it: the attribute is written where it keeps the scope, which only a head cell has. */
function spanColumns(cell: Structure, count: number): void {
  const { data } = (cell as unknown as { dictionary: { data: { S: string; A: Record<string, unknown> } } })
    .dictionary;
  data.A.ColSpan = count;
  if (data.S === 'TD') delete data.A.Scope;
}
