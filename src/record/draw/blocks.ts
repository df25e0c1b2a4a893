import { tones } from '../../drawing/appearance.js';
import { drawScene } from '../../drawing/draw-scene.js';
import type { Scene } from '../../drawing/scene.js';
import type { Block } from '../document/block.js';
import { manners } from './face.js';
import { drawList } from './list.js';
import { drawPairs } from './pairs.js';
import { fullWidth, type Paper, page } from './paper.js';
import { drawPhotos, type PhotoBytes } from './photos.js';
import { printable } from './printable.js';
import { drawSignatures } from './signatures.js';
import { drawTable } from './table.js';

/** Draws one block from the paper's place down. */
export function drawBlock(paper: Paper, block: Block, photos: PhotoBytes): void {
  switch (block.kind) {
    case 'heading':
      drawHeading(paper, block.text);
      break;
    case 'paragraph':
      paper.paragraph(block.text, block.manner === undefined ? manners.body : manners[block.manner]);
      break;
    case 'list':
      drawList(paper, block.items, block.numbered);
      break;
    case 'pairs':
      drawPairs(paper, block.rows);
      break;
    case 'table':
      drawTable(paper, block);
      break;
    case 'scene':
      drawPicture(paper, block.scene);
      break;
    case 'scenes':
      drawPictures(paper, block.scenes, block.across);
      break;
    case 'photos':
      drawPhotos(paper, block.photos, photos);
      break;
    case 'signatures':
      drawSignatures(paper, block.signatures);
      break;
    case 'code':
      drawCode(paper, block.lines);
      break;
  }
}

/** A heading within a section; it never stands alone at the foot of a page. */
function drawHeading(paper: Paper, text: string): void {
  const manner = manners.heading;
  paper.ensure(110);
  if (paper.y > page.top) paper.y += 6;
  const lines = paper.linesOf(text, manner, fullWidth);
  const { y } = paper;
  paper.marked('H2', () => paper.set(lines, manner, page.left, y));
  paper.y += lines.length * manner.leading + 3;
}

function drawPicture(paper: Paper, scene: Scene): void {
  const width = Math.min(fullWidth, (page.bottom - page.top) * (scene.width / scene.height));
  const height = heightAt(scene, width);
  paper.ensure(height);
  drawAt(paper, scene, page.left + (fullWidth - width) / 2, width);
  paper.y += height + 12;
}

/** Pictures side by side, all at one scale. */
function drawPictures(paper: Paper, scenes: readonly Scene[], across: number): void {
  const gap = 18;
  const width = (fullWidth - gap * (across - 1)) / across;
  for (let k = 0; k < scenes.length; k += across) {
    const row = scenes.slice(k, k + across);
    const height = Math.max(...row.map((scene) => heightAt(scene, width)));
    paper.ensure(height);
    row.forEach((scene, column) => {
      drawAt(paper, scene, page.left + column * (width + gap), width);
    });
    paper.y += height + 14;
  }
}

function drawAt(paper: Paper, scene: Scene, x: number, width: number): void {
  const { y } = paper;
  paper.marked(
    'Figure',
    () => {
      drawScene(paper.doc, scene, { x, y, width, fonts: { regular: 'regular', bold: 'bold' } });
    },
    {
      alt: printable(`${scene.title}. ${scene.description}`),
      bbox: [x, y, x + width, y + heightAt(scene, width)],
    },
  );
}

function heightAt(scene: Scene, width: number): number {
  return (scene.height * width) / scene.width;
}

/** Commands, on a ground of their own. */
function drawCode(paper: Paper, code: readonly string[]): void {
  const manner = manners.body;
  const indent = 13;
  const lines = code.flatMap((line) => paper.linesOf(line, manner, fullWidth - indent - 16));
  const height = lines.length * manner.leading + 8;
  paper.ensure(height);
  const { y } = paper;
  paper.artifact(() =>
    paper.doc
      .rect(page.left + indent, y, fullWidth - indent, height)
      .fillColor(tones.inside)
      .fill(),
  );
  paper.marked('P', () => paper.set(lines, manner, page.left + indent + 8, y + 4));
  paper.y += height + 8;
}
