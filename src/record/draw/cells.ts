import type { Cell, CellLine } from '../document/block.js';
import { type Manner, manners } from './face.js';
import type { Paper } from './paper.js';

/** Above and below what stands in a row, pt. */
export const padding = { top: 3, bottom: 3.5 };

/** One printed line of a cell. */
export interface SetLine {
  readonly text: string;
  readonly manner: Manner;
}

/** Sets the lines of a cell from `top` down. */
export function drawLines(paper: Paper, lines: readonly SetLine[], x: number, top: number): void {
  let y = top;
  for (const { text, manner } of lines) {
    paper.set([text], manner, x, y);
    y += manner.leading;
  }
}

/** The lines that a cell takes within a width. */
export function setLines(paper: Paper, cell: Cell, width: number): SetLine[] {
  const parts: readonly CellLine[] = typeof cell === 'string' ? [{ text: cell }] : cell;
  return parts
    .filter((part) => part.text !== '')
    .flatMap((part) => {
      const manner = mannerOf(part);
      return paper.linesOf(part.text, manner, width).map((text) => ({ text, manner }));
    });
}

function mannerOf({ manner }: CellLine): Manner {
  return manner === 'strong' ? manners.cellStrong : manner === 'muted' ? manners.cellMuted : manners.cell;
}

/** As many of the lines as stand within a height. */
export function fitting(lines: readonly SetLine[], height: number): SetLine[] {
  let used = 0;
  return lines.filter(({ manner }) => {
    used += manner.leading;
    return used <= height;
  });
}

/** How high a row of such cells is, pt. */
export function rowHeight(cells: readonly (readonly SetLine[])[]): number {
  const tallest = Math.max(...cells.map((lines) => lines.reduce((sum, l) => sum + l.manner.leading, 0)));
  return padding.top + tallest + padding.bottom;
}
