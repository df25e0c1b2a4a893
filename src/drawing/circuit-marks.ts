import type { CircuitDrawingInput, Progress } from './circuit-progress.js';
import { partWords } from './circuit-words.js';
import type { Conductor, Place } from './place.js';
import { circle, line, type Part, type PlainShape, path, polyline, rect, text } from './scene.js';

export const letters: Record<Conductor, string> = { hot: 'H', neutral: 'N', ground: 'G' };

/** A length of one conductor between two points on one line, drawn as far as the work has come. */
export function conductorLine(
  [x1, y1]: readonly [number, number],
  [x2, y2]: readonly [number, number],
  conductor: Conductor,
  progress: Progress,
): PlainShape[] {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const shapes: PlainShape[] = [line(x1, y1, x2, y2, `${conductor} ${progress}`)];
  if (progress !== 'live') return shapes;
  for (const along of [6, length - 6]) {
    const [x, y] = [x1 + ux * along, y1 + uy * along];
    shapes.push(line(x - uy * 6, y - ux * 6, x + uy * 6, y + ux * 6, `${conductor} tick`));
  }
  return shapes;
}

/** Two zigzags with nothing between them: the line is broken here. Stands across a span, in either direction. */
export function breakMark(
  x: number,
  y: number,
  reach: number,
  across: 'vertical' | 'horizontal',
): PlainShape[] {
  const at = (along: number, aside: number): [number, number] =>
    across === 'vertical' ? [x + aside, y + along] : [x + along, y + aside];
  const steps = Math.max(2, 2 * Math.round((reach * 2) / 14));
  const zigzag = (aside: number) =>
    Array.from({ length: steps + 1 }, (_, i) =>
      at(-reach + (2 * reach * i) / steps, aside + (i % 2 === 0 ? -2.5 : 2.5)),
    );
  return [
    polyline([...zigzag(-4), ...zigzag(4).reverse()], 'paper filled', true),
    polyline(zigzag(-4), 'defect tick'),
    polyline(zigzag(4), 'defect tick'),
  ];
}

/** A hatched band: nothing goes past it until the hold is passed. A bar with feet would look like a conductor that is proven live. */
export function holdBar(
  x: number,
  y: number,
  reach: number,
  across: 'vertical' | 'horizontal',
): PlainShape[] {
  const half = 4;
  const vertical = across === 'vertical';
  const band = vertical
    ? rect(x - half, y - reach, 2 * half, 2 * reach, 'hold boxed')
    : rect(x - reach, y - half, 2 * reach, 2 * half, 'hold boxed');
  const count = Math.floor((2 * reach - 2 * half) / 6);
  const hatches = Array.from({ length: count + 1 }, (_, i) => -reach + i * 6)
    .map((t) =>
      vertical
        ? `M${x - half} ${round(y + t + 2 * half)}L${x + half} ${round(y + t)}`
        : `M${round(x + t)} ${y + half}L${round(x + t + 2 * half)} ${y - half}`,
    )
    .join('');
  return [band, path(hatches, 'hold tick')];
}

/** The sign of a stop, about 24 units square: a receptacle's face, an inlet's pins, a breaker's switch. */
export function stopSign(place: Place, groundFault: boolean, x: number, y: number): PlainShape[] {
  if (place === 'inlet')
    return [
      circle(x, y, 12, 'ink boxed'),
      circle(x, y, 9, 'muted hairline'),
      circle(x - 4, y - 2.5, 1.8, 'ink filled'),
      circle(x + 4, y - 2.5, 1.8, 'ink filled'),
      circle(x, y + 4, 1.8, 'ink filled'),
    ];
  if (place === 'breaker')
    return [
      rect(x - 8, y - 12, 16, 24, 'ink boxed', 2),
      circle(x, y + 6.5, 1.8, 'ink filled'),
      circle(x, y - 6.5, 1.8, 'ink filled'),
      line(x, y + 6.5, x + 4.5, y - 4, 'ink line'),
    ];
  const face = [
    rect(x - 11, y - 12, 22, 24, 'ink boxed', 5),
    line(x - 4, y - 7.5, x - 4, y - 2, 'ink line'),
    line(x + 4, y - 7.5, x + 4, y - 2, 'ink line'),
  ];
  if (!groundFault) return [...face, circle(x, y + 5, 2.2, 'ink line')];
  return [
    ...face,
    circle(x, y + 1.5, 1.8, 'ink line'),
    rect(x - 7, y + 6, 6, 3, 'ink filled'),
    rect(x + 1, y + 6, 6, 3, 'ink line'),
  ];
}

/** A joint to the van's body: a short stem and three bars of falling length. */
export function chassisSign(x: number, y: number): PlainShape[] {
  return [
    line(x - 10, y, x + 10, y, 'ground tick'),
    line(x - 6.5, y + 4.5, x + 6.5, y + 4.5, 'ground tick'),
    line(x - 3, y + 9, x + 3, y + 9, 'ground tick'),
  ];
}

/** The van's skin, cut through: a double line with slanting hatches. */
export function skin(x: number, y: number, length: number, along: 'vertical' | 'horizontal'): PlainShape[] {
  const vertical = along === 'vertical';
  const band = vertical
    ? rect(x - 3, y, 6, length, 'faint filled')
    : rect(x, y - 3, length, 6, 'faint filled');
  const edge = (aside: number) =>
    vertical
      ? line(x + aside, y, x + aside, y + length, 'muted hairline')
      : line(x, y + aside, x + length, y + aside, 'muted hairline');
  const hatches = Array.from({ length: Math.max(0, Math.floor((length - 8) / 9)) }, (_, i) => 4 + i * 9)
    .map((t) =>
      vertical
        ? `M${x - 3} ${round(y + t + 6)}L${x + 3} ${round(y + t)}`
        : `M${round(x + t)} ${y + 3}L${round(x + t + 6)} ${y - 3}`,
    )
    .join('');
  return [band, edge(-3), edge(3), ...(hatches === '' ? [] : [path(hatches, 'muted hairline')])];
}

/** One entry of the key: a sample of the line and its word. */
export function keySample(
  x: number,
  y: number,
  progress: Progress,
  word: string,
  size: number,
): PlainShape[] {
  const sample = conductorLine([x, y - 4.5], [x + 34, y - 4.5], 'hot', progress).map((shape) => ({
    ...shape,
    look: shape.look.replace('hot', 'ink') as PlainShape['look'],
  }));
  return [...sample, text(x + 42, y, word, { size, look: 'muted' })];
}

function round(value: number): number {
  return Number(value.toFixed(2));
}

/** The part that the present step concerns: a tinted field in four heavy corners. */
export function focusFrame(x: number, y: number, width: number, height: number): PlainShape[] {
  const arm = Math.min(9, width / 3, height / 3);
  const [r, b] = [x + width, y + height].map(round) as [number, number];
  const corners = [
    `M${x} ${round(y + arm)}V${y}H${round(x + arm)}`,
    `M${round(r - arm)} ${y}H${r}V${round(y + arm)}`,
    `M${r} ${round(b - arm)}V${b}H${round(r - arm)}`,
    `M${round(x + arm)} ${b}H${x}V${round(b - arm)}`,
  ];
  return [rect(x, y, width, height, 'focus filled'), path(corners.join(''), 'ink tick')];
}

/** The shapes of one part of the circuit, with its words and where it leads. */
export function circuitPart(input: CircuitDrawingInput, place: Place, shapes: readonly PlainShape[]): Part {
  const href = input.href?.(place);
  return {
    kind: 'part',
    name: place,
    title: partWords(input, place),
    ...(href === undefined ? {} : { href }),
    shapes,
  };
}
