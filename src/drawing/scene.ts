import type { Look } from './appearance.js';

/**
 * A picture as plain data, drawn as SVG or as PDF vectors. Units are CSS pixels at the scene's own size; y grows downwards;
 * the y of a text is its baseline. `title` and `description` say in words what the picture shows.
 */
export interface Scene {
  readonly width: number;
  readonly height: number;
  readonly title: string;
  readonly description: string;
  readonly shapes: readonly Shape[];
}

export type Point = readonly [x: number, y: number];
type Anchor = 'start' | 'middle' | 'end';
export type Weight = 'regular' | 'bold';

interface Line {
  readonly kind: 'line';
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly look: Look;
}
interface Polyline {
  readonly kind: 'polyline';
  readonly points: readonly Point[];
  readonly closed: boolean;
  readonly look: Look;
}
/** `d` in the path language that SVG and pdfkit share, absolute commands. */
interface Path {
  readonly kind: 'path';
  readonly d: string;
  readonly look: Look;
}
interface Rect {
  readonly kind: 'rect';
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly radius: number;
  readonly look: Look;
}
export interface Circle {
  readonly kind: 'circle';
  readonly x: number;
  readonly y: number;
  readonly r: number;
  readonly look: Look;
}
export interface Text {
  readonly kind: 'text';
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly size: number;
  readonly anchor: Anchor;
  readonly weight: Weight;
  readonly look: Look;
}
/** Shapes that belong together: one part of the circuit, with its name and where touching it leads. */
export interface Part {
  readonly kind: 'part';
  readonly name: string;
  readonly title: string;
  readonly href?: string;
  readonly shapes: readonly PlainShape[];
}
export type PlainShape = Line | Polyline | Path | Rect | Circle | Text;
export type Shape = PlainShape | Part;

export const line = (x1: number, y1: number, x2: number, y2: number, look: Look): Line => ({
  kind: 'line',
  x1,
  y1,
  x2,
  y2,
  look,
});

export const polyline = (points: readonly Point[], look: Look, closed = false): Polyline => ({
  kind: 'polyline',
  points,
  closed,
  look,
});

export const path = (d: string, look: Look): Path => ({ kind: 'path', d, look });

export const rect = (x: number, y: number, width: number, height: number, look: Look, radius = 0): Rect => ({
  kind: 'rect',
  x,
  y,
  width,
  height,
  radius,
  look,
});

export const circle = (x: number, y: number, r: number, look: Look): Circle => ({
  kind: 'circle',
  x,
  y,
  r,
  look,
});

interface TextManner {
  readonly size?: number;
  readonly anchor?: Anchor;
  readonly weight?: Weight;
  readonly look?: Look;
}

export const text = (x: number, y: number, words: string, manner: TextManner = {}): Text => ({
  kind: 'text',
  x,
  y,
  text: words,
  size: manner.size ?? 14,
  anchor: manner.anchor ?? 'start',
  weight: manner.weight ?? 'regular',
  look: manner.look ?? 'ink',
});

/** Every shape of a scene, those inside parts too, in the order in which they are painted. */
export function shapesOf(scene: Scene): PlainShape[] {
  return scene.shapes.flatMap((shape) => (shape.kind === 'part' ? shape.shapes : [shape]));
}

/** Whether a shape leaves a mark; the areas to touch leave none. */
export function isVisible(shape: PlainShape): boolean {
  return !shape.look.endsWith(' touch');
}
