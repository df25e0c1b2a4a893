import type { Seal } from '../document/block.js';
import { addSignatureField } from '../signature-field.js';
import { manners } from './face.js';
import type { Paper } from './paper.js';

const padding = { x: 10, y: 7 };

/** The frame of the signature's field with what it says inside. */
export function drawSeal(paper: Paper, { at, name, reason, lines }: Seal): void {
  const set = lines.flatMap((line) => paper.linesOf(line, manners.muted, paper.fullWidth - 2 * padding.x));
  const height = set.length * manners.muted.leading + 2 * padding.y;
  paper.ensure(height);
  const { y } = paper;
  const element = paper.doc.struct('Form');
  paper.parent.add(element);
  addSignatureField(paper.doc, {
    at: new Date(at),
    name,
    reason,
    box: { x: paper.left, y, width: paper.fullWidth, height },
    element,
  });
  element.end();
  paper.marked('P', () => paper.set(set, manners.muted, paper.left + padding.x, y + padding.y));
  paper.y += height + 10;
}
