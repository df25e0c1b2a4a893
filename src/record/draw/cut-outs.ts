import { tones } from '../../drawing/appearance.js';
import { fitText } from '../../drawing/text-width.js';
import type { CutOut } from '../document/block.js';
import { type Manner, manners } from './face.js';
import type { Paper } from './paper.js';
import { printable } from './printable.js';

/** A bank card's width, which is also wide enough for the label beside the inlet, pt. */
const cardWidth = 241;
const gap = 22;
const padding = 9;
const pointsPerMm = 72 / 25.4;

interface Placed {
  readonly title: readonly string[];
  readonly lines: readonly string[];
  readonly height: number;
}

/** Cards two a row, each in a dashed frame with what it is for over it. */
export function drawCutOuts(paper: Paper, cards: readonly CutOut[]): void {
  for (let k = 0; k < cards.length; k += 2) {
    const row = cards.slice(k, k + 2).map((card) => ({ card, placed: placedCard(paper, card) }));
    const height = Math.max(...row.map((r) => r.placed.height));
    paper.ensure(height + gap);
    row.forEach(({ card, placed }, column) => {
      drawCard(paper, card, placed, paper.left + column * (paper.fullWidth - cardWidth));
    });
    paper.y += height + gap;
  }
}

const titleManner: Manner = { weight: 'bold', size: 11, leading: 14, ink: tones.ink };
const mannerOf = (card: CutOut): Manner => (card.small ? manners.cell : manners.lead);

function placedCard(paper: Paper, card: CutOut): Placed {
  const inside = cardWidth - 2 * padding;
  const title = paper.linesOf(card.title, titleManner, inside);
  const manner = mannerOf(card);
  const lines = card.lines.flatMap((line) => paper.linesOf(line, manner, inside));
  const text = title.length * titleManner.leading + 3 + lines.length * manner.leading;
  return { title, lines, height: Math.max(card.leastHeightMm * pointsPerMm, text + 2 * padding) };
}

function drawCard(paper: Paper, card: CutOut, { title, lines, height }: Placed, x: number): void {
  const top = paper.y + 12;
  paper.marked('P', () =>
    paper.set(
      [fitText(printable(card.purpose), cardWidth, manners.label.size)],
      manners.label,
      x,
      paper.y - 1,
    ),
  );
  paper.artifact(() =>
    paper.doc
      .rect(x, top, cardWidth, height)
      .lineWidth(0.6)
      .dash(3, { space: 2 })
      .strokeColor(tones.muted)
      .stroke()
      .undash(),
  );
  paper.marked('P', () => {
    paper.set(title, titleManner, x + padding, top + padding);
    paper.set(lines, mannerOf(card), x + padding, top + padding + title.length * titleManner.leading + 3);
  });
}
