import type { Scene } from '../../drawing/scene.js';
import type { Signature } from '../../logbook/signature.js';

/** A line in a cell: strong for what is sought, muted for what is beside it. */
export interface CellLine {
  readonly text: string;
  readonly manner?: 'strong' | 'muted';
}
export type Cell = string | readonly CellLine[];

interface Column {
  readonly head: string;
  /** Part of the width, against the other columns' shares. */
  readonly share: number;
}

/** A row over the full width that names what the rows below it have in common. */
export interface GroupRow {
  readonly group: string;
  readonly beside: string;
}
/** A row over the full width of what needs no columns. */
export interface NoteRow {
  readonly note: string;
}
/** A row with what belongs to it over the full width below. */
export interface UnderRow {
  readonly cells: readonly Cell[];
  readonly under: string;
}
export type Row = readonly Cell[] | GroupRow | NoteRow | UnderRow;

export interface Table {
  readonly kind: 'table';
  /** Says what the table holds; read aloud, not printed. */
  readonly summary: string;
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
}

export interface PhotoBlock {
  readonly id: string;
  readonly caption: string;
  readonly note: string;
  readonly widthPx: number;
  readonly heightPx: number;
}

export interface SignatureBlock {
  readonly meaning: string;
  readonly signature: Signature;
  readonly at: string;
}

/** What the digital signature says, in the frame of its field; once in a document. `at` is the time of issue. */
export interface Seal {
  readonly kind: 'seal';
  readonly at: string;
  readonly name: string;
  readonly reason: string;
  readonly lines: readonly string[];
}

/** A label or card to cut out, never lower than so many mm. `purpose` stands outside its frame. */
export interface CutOut {
  readonly title: string;
  readonly purpose: string;
  readonly leastHeightMm: number;
  /** Read in the hand, not from where one stands. */
  readonly small?: true;
  readonly lines: readonly string[];
}

/** The pieces that a section of a record is made of, in reading order. */
export type Block =
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string; readonly manner?: 'lead' | 'muted' }
  | {
      readonly kind: 'list';
      readonly numbered: boolean;
      readonly items: readonly string[];
      /** Set in two columns, down the first and then the second. */
      readonly columns?: 2;
    }
  | { readonly kind: 'pairs'; readonly rows: readonly (readonly [label: string, value: string])[] }
  | Table
  | { readonly kind: 'scene'; readonly scene: Scene }
  /** Side by side at one scale, with its title under each where it does not say it itself. */
  | { readonly kind: 'scenes'; readonly titled: boolean; readonly scenes: readonly Scene[] }
  | { readonly kind: 'photos'; readonly photos: readonly PhotoBlock[] }
  | { readonly kind: 'signatures'; readonly signatures: readonly SignatureBlock[] }
  | Seal
  | { readonly kind: 'cut-outs'; readonly cards: readonly CutOut[] }
  | { readonly kind: 'code'; readonly lines: readonly string[] };

export interface Section {
  readonly title: string;
  readonly blocks: readonly Block[];
}

export const paragraph = (text: string, manner?: 'lead' | 'muted'): Block => ({
  kind: 'paragraph',
  text,
  ...(manner === undefined ? {} : { manner }),
});
export const heading = (text: string): Block => ({ kind: 'heading', text });
export const list = (items: readonly string[], numbered = false): Block => ({
  kind: 'list',
  numbered,
  items,
});
export const table = (
  summary: string,
  columns: readonly (readonly [head: string, share: number])[],
  rows: readonly Row[],
): Block => ({ kind: 'table', summary, columns: columns.map(([head, share]) => ({ head, share })), rows });

/** The rows of a group under its name; nothing where it has none. */
export const group = (title: string, rows: readonly Row[], beside = ''): Row[] =>
  rows.length === 0 ? [] : [{ group: title, beside }, ...rows];

/** A table, or the sentence that stands where it would be empty. */
export const tableOr = (none: string, block: Block): Block =>
  block.kind === 'table' && block.rows.length === 0 ? paragraph(none, 'muted') : block;

/** A cell of several lines; empty ones are left out. */
export function lines(...parts: readonly (string | CellLine | undefined)[]): CellLine[] {
  return parts
    .map((part) => (typeof part === 'string' ? { text: part } : part))
    .filter((part): part is CellLine => part !== undefined && part.text !== '');
}
export const strong = (text: string): CellLine => ({ text, manner: 'strong' });
export const muted = (text: string): CellLine => ({ text, manner: 'muted' });
