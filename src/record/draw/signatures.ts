import { tones } from '../../drawing/appearance.js';
import type { SignatureBlock } from '../document/block.js';
import { manners } from './face.js';
import type { Paper } from './paper.js';

/** The box in which strokes were drawn, as signatures keep them. */
const pad = { width: 600, height: 200 };
const gap = 26;
/** What a row of signatures needs of a page for the title over it to stand there as well, pt. */
export const signaturesBeginning = 190;

/** Signatures side by side: the strokes over a line, under it the name, the time and what it means. */
export function drawSignatures(paper: Paper, signatures: readonly SignatureBlock[]): void {
  const width = (paper.fullWidth - gap) / 2;
  const height = (width * pad.height) / pad.width;
  for (let k = 0; k < signatures.length; k += 2) {
    const row = signatures.slice(k, k + 2).map((s) => ({
      ...s,
      name: paper.linesOf(s.signature.name, { ...manners.body, weight: 'medium' }, width),
      meant: [
        ...paper.linesOf(s.at, manners.muted, width),
        ...paper.linesOf(s.meaning, manners.muted, width),
      ],
    }));
    const text = Math.max(
      ...row.map((s) => s.name.length * manners.body.leading + s.meant.length * manners.muted.leading),
    );
    paper.ensure(height + text + 20);
    row.forEach((s, column) => {
      const x = paper.left + column * (width + gap);
      const line = paper.y + height;
      drawStrokes(paper, s, { x, y: paper.y, width, height });
      paper.rule(line, { ink: tones.ink, width: 0.8, from: x, to: x + width });
      paper.marked('P', () => {
        paper.set(s.name, { ...manners.body, weight: 'medium' }, x, line + 4);
        paper.set(s.meant, manners.muted, x, line + 4 + s.name.length * manners.body.leading);
      });
    });
    paper.y += height + text + 20;
  }
}

function drawStrokes(
  paper: Paper,
  { signature }: SignatureBlock,
  box: { x: number; y: number; width: number; height: number },
): void {
  if (signature.strokes.length === 0) {
    const typed = paper.linesOf(`Typed, not drawn: ${signature.name}`, manners.lead, box.width).slice(0, 3);
    paper.marked('P', () =>
      paper.set(typed, manners.lead, box.x, box.y + box.height - typed.length * manners.lead.leading - 4),
    );
    return;
  }
  const { doc } = paper;
  const scale = box.width / pad.width;
  const bbox: [number, number, number, number] = [box.x, box.y, box.x + box.width, box.y + box.height];
  paper.marked(
    'Figure',
    () => {
      doc.save().translate(box.x, box.y).scale(scale);
      doc
        .lineWidth(1.2 / scale)
        .lineCap('round')
        .lineJoin('round')
        .strokeColor(tones.ink);
      for (const [first, ...rest] of signature.strokes) {
        if (first === undefined) continue;
        doc.moveTo(first[0], first[1]);
        // A stroke of one point is a dot: a line to itself with round ends.
        for (const [x, y] of rest.length === 0 ? [first] : rest) doc.lineTo(x, y);
        doc.stroke();
      }
      doc.restore();
    },
    { alt: `Drawn signature of ${signature.name}`, bbox },
  );
}
