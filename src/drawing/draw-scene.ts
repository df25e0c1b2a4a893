import { type Appearance, appearanceOf, inkOf } from './appearance.js';
import { isVisible, type PlainShape, type Scene, shapesOf } from './scene.js';

interface SceneFonts {
  /** Names under which the caller registered the faces. */
  readonly regular: string;
  readonly bold: string;
}

interface SceneSpot {
  /** Left edge, top edge and width on the page, pt. */
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly fonts: SceneFonts;
}

/**
 * Draws the scene on the current page with vectors, scaled to the width given, and answers how high it became (pt) and how many
 * shapes it drew. Links and areas to touch are for the page and are left out. The document's own cursor stays where it was.
 */
export function drawScene(
  doc: PDFKit.PDFDocument,
  scene: Scene,
  { x, y, width, fonts }: SceneSpot,
): { height: number; shapes: number } {
  const scale = width / scene.width;
  const cursor = { x: doc.x, y: doc.y };
  const shapes = shapesOf(scene).filter(isVisible);
  doc.save().translate(x, y).scale(scale);
  for (const shape of shapes) drawShape(doc, shape, fonts);
  doc.restore();
  doc.x = cursor.x;
  doc.y = cursor.y;
  return { height: scene.height * scale, shapes: shapes.length };
}

function drawShape(doc: PDFKit.PDFDocument, shape: PlainShape, fonts: SceneFonts): void {
  if (shape.kind === 'text') {
    doc.font(shape.weight === 'bold' ? fonts.bold : fonts.regular).fontSize(shape.size);
    const words = visibleText(shape.text);
    const across = doc.widthOfString(words);
    const left = shape.anchor === 'start' ? 0 : shape.anchor === 'end' ? across : across / 2;
    doc
      .fillColor(inkOf(shape.look))
      .text(words, shape.x - left, shape.y, { lineBreak: false, baseline: 'alphabetic' });
    return;
  }
  outline(doc, shape);
  paint(doc, appearanceOf(shape.look));
}

function outline(doc: PDFKit.PDFDocument, shape: Exclude<PlainShape, { kind: 'text' }>): void {
  switch (shape.kind) {
    case 'line':
      doc.moveTo(shape.x1, shape.y1).lineTo(shape.x2, shape.y2);
      break;
    case 'polyline':
      for (const [index, [x, y]] of shape.points.entries()) index === 0 ? doc.moveTo(x, y) : doc.lineTo(x, y);
      if (shape.closed) doc.closePath();
      break;
    case 'path':
      doc.path(shape.d);
      break;
    case 'rect':
      if (shape.radius > 0) doc.roundedRect(shape.x, shape.y, shape.width, shape.height, shape.radius);
      else doc.rect(shape.x, shape.y, shape.width, shape.height);
      break;
    case 'circle':
      doc.circle(shape.x, shape.y, shape.r);
      break;
  }
}

function paint(doc: PDFKit.PDFDocument, { stroke, fill, width, dash, round }: Appearance): void {
  doc.lineCap(round ? 'round' : 'butt').lineJoin('round');
  if (dash) doc.dash(dash[0], { space: dash[1] });
  else doc.undash();
  if (stroke !== undefined) doc.lineWidth(width);
  if (stroke !== undefined && fill !== undefined) doc.fillAndStroke(fill, stroke);
  else if (fill !== undefined) doc.fill(fill);
  else if (stroke !== undefined) doc.stroke(stroke);
  doc.undash();
}

/** Control characters have no glyph and would stand as boxes; marks that turn the reading direction are left out. */
function visibleText(words: string): string {
  return words.replace(/[\p{Cc}\u{202A}-\u{202E}\u{2066}-\u{2069}]/gu, ' ');
}
