import { tones } from '../../drawing/appearance.js';
import { drawScene } from '../../drawing/draw-scene.js';
import type { Scene } from '../../drawing/scene.js';
import type { Block } from '../document/block.js';
import { drawCutOuts } from './cut-outs.js';
import { manners } from './face.js';
import { drawList, drawTwoColumns } from './list.js';
import { drawPairs } from './pairs.js';
import type { Paper } from './paper.js';
import { drawPhotos, type PhotoBytes } from './photos.js';
import { printable } from './printable.js';
import { drawSeal } from './seal.js';
import { drawSignatures } from './signatures.js';
import { drawTable, tableBeginning } from './table.js';

/** Draws blocks one below the other from the paper's place down. */
export function drawBlocks(paper: Paper, blocks: readonly Block[], photos: PhotoBytes): void {
  blocks.forEach((block, k) => {
    drawBlock(paper, block, blocks.slice(k + 1), photos);
  });
}

function drawBlock(paper: Paper, block: Block, rest: readonly Block[], photos: PhotoBytes): void {
  switch (block.kind) {
    case 'heading':
      drawHeading(paper, block.text, rest);
      break;
    case 'paragraph':
      paper.paragraph(block.text, block.manner === undefined ? manners.body : manners[block.manner]);
      break;
    case 'list':
      if (block.columns === 2) drawTwoColumns(paper, block.items, block.numbered);
      else drawList(paper, block.items, block.numbered);
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
      drawPictures(paper, block.scenes, block.titled);
      break;
    case 'photos':
      drawPhotos(paper, block.photos, photos);
      break;
    case 'signatures':
      drawSignatures(paper, block.signatures);
      break;
    case 'seal':
      drawSeal(paper, block);
      break;
    case 'cut-outs':
      drawCutOuts(paper, block.cards);
      break;
    case 'code':
      drawCode(paper, block.lines);
      break;
  }
}

/** A heading within a section; it never stands alone at the foot of a page. */
function drawHeading(paper: Paper, text: string, rest: readonly Block[]): void {
  const manner = manners.heading;
  paper.ensure(roomBelow(paper, rest));
  if (paper.y > paper.top) paper.y += 4;
  const lines = paper.linesOf(text, manner, paper.fullWidth);
  const { y } = paper;
  paper.marked('H2', () => paper.set(lines, manner, paper.left, y));
  paper.y += lines.length * manner.leading + 3;
}

/** What a heading needs of the page, with the beginning of what it stands over, pt. */
function roomBelow(paper: Paper, [next, after]: readonly Block[]): number {
  if (next?.kind === 'scene') return 24 + pictureHeight(paper, next.scene);
  if (next?.kind === 'table') return 28 + tableBeginning(paper, next);
  if (next?.kind === 'paragraph') {
    const manner = manners[next.manner ?? 'body'];
    const lines = paper.linesOf(next.text, manner, paper.fullWidth).length;
    // A short one introduces the table below it, and goes with it.
    const table = after?.kind === 'table' && lines <= 3 ? 10 + tableBeginning(paper, after) : 0;
    return 21 + Math.min(3, lines) * manner.leading + table;
  }
  return next?.kind === 'list' ? 64 : 110;
}

/** The widest scene that stands beside nothing else, in its own units; a smaller one is drawn at most so large. */
const fullScene = 960;
const largest = 0.6;
const gap = 12;

function drawPicture(paper: Paper, scene: Scene): void {
  const height = pictureHeight(paper, scene);
  paper.ensure(height);
  drawAt(paper, scene, paper.left, (scene.width * height) / scene.height);
  paper.y += height + 12;
}

function pictureHeight(paper: Paper, scene: Scene): number {
  const tallest = paper.bottom - paper.top - 30;
  return scene.height * Math.min(paper.fullWidth / scene.width, largest, tallest / scene.height);
}

/** Pictures side by side, all at one scale, with their titles under them where asked. */
function drawPictures(paper: Paper, scenes: readonly Scene[], titled: boolean): void {
  const scale = (paper.fullWidth - 2 * gap) / fullScene;
  const title = manners.cellMuted;
  for (let left = [...scenes]; left.length > 0; ) {
    const row = left.splice(0, rowLength(left));
    const height = Math.max(...row.map((scene) => scene.height)) * scale;
    const under = titled ? title.leading + 4 : 0;
    paper.ensure(height + under);
    let x: number = paper.left;
    for (const scene of row) {
      const at = x;
      drawAt(paper, scene, at, scene.width * scale);
      if (titled)
        paper.marked('P', () => paper.set([printable(scene.title)], title, at + 6, paper.y + height + 4));
      x += scene.width * scale + gap;
    }
    paper.y += height + under + 12;
  }
}

/** What the first row of pictures needs of the page, pt. */
export function picturesBeginning(paper: Paper, scenes: readonly Scene[]): number {
  const row = scenes.slice(0, rowLength(scenes));
  return (Math.max(...row.map((scene) => scene.height)) * (paper.fullWidth - 2 * gap)) / fullScene;
}

/** How many of the scenes stand in the next row; at least one. */
function rowLength(scenes: readonly Scene[]): number {
  let used = 0;
  const fitting = scenes.findIndex((scene) => {
    used += scene.width;
    return used > fullScene;
  });
  return fitting < 0 ? scenes.length : Math.max(1, fitting);
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
  const lines = code.flatMap((line) => paper.linesOf(line, manner, paper.fullWidth - indent - 16));
  const height = lines.length * manner.leading + 8;
  paper.ensure(height);
  const { y } = paper;
  paper.artifact(() =>
    paper.doc
      .rect(paper.left + indent, y, paper.fullWidth - indent, height)
      .fillColor(tones.inside)
      .fill(),
  );
  paper.marked('P', () => paper.set(lines, manner, paper.left + indent + 8, y + 4));
  paper.y += height + 8;
}
