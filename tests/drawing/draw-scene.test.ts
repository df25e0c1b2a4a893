import PDFDocument from 'pdfkit';
import { describe, expect, test } from 'vitest';
import { drawScene } from '../../src/drawing/draw-scene.js';
import { isVisible, type PlainShape, type Scene, shapesOf } from '../../src/drawing/scene.js';
import { sceneToSvg } from '../../src/drawing/scene-to-svg.js';
import { everyScene } from './every-scene.js';
import { readXml } from './read-xml.js';
import { crowdedTexts } from './scene-checks.js';

const spot = { x: 40, y: 60, width: 500, fonts: { regular: 'Helvetica', bold: 'Helvetica-Bold' } };

describe.each(everyScene())('%s', (_, scene) => {
  test('is painted in the PDF shape for shape', async () => {
    const { content, drawn } = await draw(scene);
    const visible = shapesOf(scene).filter(isVisible);
    expect(drawn.shapes).toBe(visible.length);
    const paints = content.filter((l) => /^(S|f|B)$/.test(l)).length;
    expect(paints).toBe(visible.filter((s) => s.kind !== 'text').length);
    expect(content.filter((l) => /\bTJ$|\bTj$/.test(l)).length).toBeGreaterThanOrEqual(textsIn(visible));
  });

  test('takes the height of its own shape on paper and leaves the cursor alone', async () => {
    const { drawn, before, after, pages } = await draw(scene);
    expect(drawn.height).toBeCloseTo((scene.height * spot.width) / scene.width, 6);
    expect(after).toEqual(before);
    expect(pages).toBe(1);
  });

  test('is well formed as SVG, with the words that say the same', () => {
    const { texts } = readXml(sceneToSvg(scene, 'd'));
    expect(texts).toContain(scene.title);
    expect(texts).toContain(scene.description);
    expect(scene.description.length).toBeGreaterThan(20);
  });

  test('has no word on another and none outside', () => {
    expect(crowdedTexts(scene)).toEqual([]);
  });
});

async function draw(scene: Scene) {
  const doc = new PDFDocument({ size: 'LETTER', margin: 40, compress: false });
  const chunks: Buffer[] = [];
  doc.on('data', (chunk: Buffer) => chunks.push(chunk));
  const ended = new Promise((resolve) => doc.on('end', resolve));
  const before = { x: doc.x, y: doc.y };
  const drawn = drawScene(doc, scene, spot);
  const after = { x: doc.x, y: doc.y };
  const pages = doc.bufferedPageRange().count;
  doc.end();
  await ended;
  const file = Buffer.concat(chunks).toString('latin1');
  return { drawn, before, after, pages, content: file.slice(0, file.indexOf('endstream')).split('\n') };
}

function textsIn(shapes: readonly PlainShape[]): number {
  return shapes.filter((s) => s.kind === 'text' && s.text !== '').length;
}
