import { type Appearance, appearanceOf, inkOf, type Look } from './appearance.js';
import type { Part, PlainShape, Scene, Shape, Text } from './scene.js';
import { faceWidth, textBox } from './text-width.js';

/**
 * The scene as one `<svg>` element for a page: presentation attributes and classes only, no style attribute or element. A picture
 * without links is one image to a screen reader; one with links is a group, whose parts can be reached one by one. Every id in the
 * markup begins with `idPrefix` (letters, digits and hyphens), so that two drawings stand on one page.
 */
export function sceneToSvg(scene: Scene, idPrefix: string): string {
  if (!/^[A-Za-z][A-Za-z0-9-]*$/.test(idPrefix)) throw new RangeError(`"${idPrefix}" cannot begin an id`);
  const linked = scene.shapes.some((shape) => shape.kind === 'part' && shape.href !== undefined);
  const width = number(scene.width);
  const height = number(scene.height);
  const head = attributes({
    xmlns: 'http://www.w3.org/2000/svg',
    class: 'drawing',
    viewBox: `0 0 ${width} ${height}`,
    width,
    height,
    role: linked ? 'group' : 'img',
    'aria-labelledby': `${idPrefix}-title`,
    'aria-describedby': `${idPrefix}-desc`,
  });
  return [
    `<svg${head}>`,
    `<title id="${idPrefix}-title">${escapeText(scene.title)}</title>`,
    `<desc id="${idPrefix}-desc">${escapeText(scene.description)}</desc>`,
    ...scene.shapes.map((shape) => markup(shape, scene.width)),
    '</svg>',
  ].join('');
}

function markup(shape: Shape, width: number): string {
  return shape.kind === 'part' ? partMarkup(shape, width) : shapeMarkup(shape, width);
}

function partMarkup(part: Part, width: number): string {
  const shapes = part.shapes.map((shape) => shapeMarkup(shape, width)).join('');
  const inner = `<title>${escapeText(part.title)}</title>${shapes}`;
  if (part.href === undefined) return `<g class="d-part">${inner}</g>`;
  return `<a${attributes({ href: safeAddress(part.href), class: 'd-part' })}>${inner}</a>`;
}

function shapeMarkup(shape: PlainShape, width: number): string {
  if (shape.kind === 'text') {
    const held = heldWidth(shape, width);
    const more = attributes({
      x: number(shape.x),
      y: number(shape.y),
      'font-size': number(shape.size),
      'font-weight': shape.weight === 'bold' ? '600' : undefined,
      'text-anchor': shape.anchor === 'start' ? undefined : shape.anchor,
      textLength: held,
      lengthAdjust: held === undefined ? undefined : 'spacingAndGlyphs',
      fill: inkOf(shape.look),
      class: classOf(shape.look),
    });
    return `<text${more}>${escapeText(shape.text)}</text>`;
  }
  return `<${geometry(shape)}${lookMarkup(shape.look)}/>`;
}

const lookMarkups = new Map<Look, string>();

/** How a shape is painted, and its classes. A page may have a thousand shapes, of a few dozen looks. */
function lookMarkup(look: Look): string {
  const known = lookMarkups.get(look);
  if (known !== undefined) return known;
  const made = `${paint(appearanceOf(look))}${attributes({
    'pointer-events': look.endsWith(' touch') ? 'all' : undefined,
    class: classOf(look),
  })}`;
  lookMarkups.set(look, made);
  return made;
}

/** Words that a wider face, which a page may fall back on, would carry over the edge keep the width of the drawing's own. */
function heldWidth(shape: Text, width: number): string | undefined {
  const { left, right } = textBox(shape);
  const wider = (right - left) * 0.2;
  if (left - wider >= 0 && right + wider <= width) return undefined;
  const own = faceWidth(shape.text, shape.size, shape.weight);
  return own === undefined || own === 0 ? undefined : number(own);
}

function geometry(shape: Exclude<PlainShape, { kind: 'text' }>): string {
  switch (shape.kind) {
    case 'line':
      return `line${numbers({ x1: shape.x1, y1: shape.y1, x2: shape.x2, y2: shape.y2 })}`;
    case 'polyline': {
      const points = shape.points.map(([x, y]) => `${number(x)},${number(y)}`).join(' ');
      return `${shape.closed ? 'polygon' : 'polyline'}${attributes({ points })}`;
    }
    case 'path':
      return `path${attributes({ d: shape.d })}`;
    case 'rect': {
      const { x, y, width, height, radius } = shape;
      return `rect${numbers({ x, y, width, height, ...(radius > 0 ? { rx: radius } : {}) })}`;
    }
    case 'circle':
      return `circle${numbers({ cx: shape.x, cy: shape.y, r: shape.r })}`;
  }
}

function paint(appearance: Appearance): string {
  return attributes({
    fill: appearance.fill ?? 'none',
    stroke: appearance.stroke,
    'stroke-width': appearance.stroke === undefined ? undefined : number(appearance.width),
    'stroke-dasharray': appearance.dash?.map(number).join(' '),
    'stroke-linecap': appearance.round ? 'round' : undefined,
    'stroke-linejoin': appearance.stroke === undefined ? undefined : 'round',
  });
}

function classOf(look: Look): string {
  return look
    .split(' ')
    .map((name) => `d-${name}`)
    .join(' ');
}

/** Only addresses of the product's own pages: what a drawing leads to is never foreign. */
function safeAddress(href: string): string {
  if (!/^(?:\/(?!\/)|[#?])/.test(href))
    throw new RangeError('a drawing leads only to addresses that begin with /, # or ?');
  return href;
}

function numbers(values: Record<string, number>): string {
  let markup = '';
  for (const [name, value] of Object.entries(values)) markup += ` ${name}="${number(value)}"`;
  return markup;
}

function attributes(values: Record<string, string | undefined>): string {
  let markup = '';
  for (const [name, value] of Object.entries(values))
    if (value !== undefined) markup += ` ${name}="${escapeText(value)}"`;
  return markup;
}

function number(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError('a drawing has a number that is not finite');
  return String(Number(value.toFixed(2)));
}

const entities: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Most words: letters, figures and marks of ASCII, none of which is escaped. */
const plain = /^[\x20!#-%(-;=?-~]*$/;

/** Escapes for XML; characters that XML cannot hold and those that turn the reading direction become U+FFFD. */
function escapeText(words: string): string {
  if (plain.test(words)) return words;
  return words
    .replace(
      /[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]|[\u{202A}-\u{202E}\u{2066}-\u{2069}]/gu,
      '\u{FFFD}',
    )
    .replace(/[&<>"']/g, (mark) => entities[mark] ?? mark);
}
