import { type Scene, shapesOf, type Text } from '../../src/drawing/scene.js';
import { textBox } from '../../src/drawing/text-width.js';

export function textsOf(scene: Scene): Text[] {
  return shapesOf(scene).filter((shape): shape is Text => shape.kind === 'text');
}

/** Every pair of texts whose boxes overlap, and every text that leaves the picture. */
export function crowdedTexts(scene: Scene): string[] {
  const texts = textsOf(scene).filter((shape) => shape.text !== '');
  const boxes = texts.map((shape) => ({ words: shape.text, ...textBox(shape) }));
  const pairs = boxes.flatMap((a, i) =>
    boxes
      .slice(i + 1)
      .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
      .map((b) => `"${a.words}" on "${b.words}"`),
  );
  const outside = boxes
    .filter(
      (b) => b.left < -0.5 || b.right > scene.width + 0.5 || b.top < -0.5 || b.bottom > scene.height + 0.5,
    )
    .map((b) => `"${b.words}" leaves the picture`);
  return [...pairs, ...outside];
}

export function smallestText(scene: Scene): number {
  return Math.min(...textsOf(scene).map((shape) => shape.size));
}
