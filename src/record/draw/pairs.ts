import { manners } from './face.js';
import type { Paper, Structure } from './paper.js';

const labelWidth = 112;
const { leading } = manners.body;

/** Labels with their values, one a line, a hairline between; a value that no page holds goes on in a further row. */
export function drawPairs(paper: Paper, rows: readonly (readonly [string, string])[]): void {
  const table = paper.doc.struct('Table');
  paper.parent.add(table);
  for (const [label, value] of rows) {
    const labels = paper.linesOf(label, manners.label, labelWidth - 8);
    let values = paper.linesOf(value, manners.body, paper.fullWidth - labelWidth);
    while (!paper.holds(values.length * leading + 5)) {
      paper.ensure(70);
      const now = values.slice(0, Math.floor((paper.room - 5) / leading));
      drawPair(paper, table, labels, now);
      values = values.slice(now.length);
    }
    drawPair(paper, table, labels, values);
  }
  table.end();
  paper.y += 10;
}

function drawPair(
  paper: Paper,
  table: Structure,
  labels: readonly string[],
  values: readonly string[],
): void {
  const height = Math.max(labels.length * manners.label.leading, values.length * leading) + 5;
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
