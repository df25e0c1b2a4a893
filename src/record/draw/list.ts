import { tones } from '../../drawing/appearance.js';
import { manners } from './face.js';
import type { Paper } from './paper.js';

/** Sentences one below the other, numbered or with a dash before each. */
export function drawList(paper: Paper, items: readonly string[], numbered: boolean): void {
  const indent = numbered ? 20 : 13;
  const manner = manners.body;
  const element = paper.doc.struct('L');
  paper.parent.add(element);
  items.forEach((item, k) => {
    const lines = paper.linesOf(item, manner, paper.fullWidth - indent);
    paper.ensure(lines.length * manner.leading);
    const { y } = paper;
    const label = numbered ? `${k + 1}` : '–';
    const entry = paper.doc.struct('LI');
    element.add(entry);
    paper.marked('Lbl', () => paper.set([label], { ...manner, ink: tones.muted }, paper.left, y), {}, entry);
    paper.marked('LBody', () => paper.set(lines, manner, paper.left + indent, y), {}, entry);
    entry.end();
    paper.y += lines.length * manner.leading + 2.5;
  });
  element.end();
  paper.y += 6;
}
