import { manners } from './face.js';
import type { Paper } from './paper.js';

const labelWidth = 112;

/** Labels with their values, one a line, a hairline between. */
export function drawPairs(paper: Paper, rows: readonly (readonly [string, string])[]): void {
  const table = paper.doc.struct('Table');
  paper.parent.add(table);
  for (const [label, value] of rows) {
    const labels = paper.linesOf(label, manners.label, labelWidth - 8);
    const values = paper.linesOf(value, manners.body, paper.fullWidth - labelWidth);
    const height = Math.max(labels.length * manners.label.leading, values.length * manners.body.leading) + 5;
    paper.ensure(height);
    const { y } = paper;
    const row = paper.doc.struct('TR');
    table.add(row);
    paper.marked('TH', () => paper.set(labels, manners.label, paper.left, y + 2.7), { scope: 'Row' }, row);
    paper.marked('TD', () => paper.set(values, manners.body, paper.left + labelWidth, y + 2), {}, row);
    row.end();
    paper.y += height;
    paper.rule(paper.y, { width: 0.4 });
  }
  table.end();
  paper.y += 10;
}
