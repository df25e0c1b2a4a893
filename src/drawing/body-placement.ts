import { type Circuit, words } from '../circuit/circuit.js';
import { lengthWords } from './circuit-words.js';
import { circle, line, type PlainShape, path, polyline, rect, type Scene, text } from './scene.js';
import { textWidth } from './text-width.js';

interface BodyPlacementInput {
  readonly inlet: Pick<Circuit['inlet'], 'side' | 'fromRearM' | 'heightM'>;
  readonly lengthUnit?: 'm' | 'ft' | undefined;
}

const width = 320;
const ground = 176;
/** The outline's own size, m: a high-roof van of no make; longer where the inlet sits further forward. */
const usualLengthM = 6;
const roofM = 2.6;

/** Where on the body the inlet sits: the side it is on, its distance from the rear and its height above the ground. */
export function bodyPlacement({ inlet, lengthUnit = 'm' }: BodyPlacementInput): Scene {
  const end = inlet.side !== 'left' && inlet.side !== 'right';
  const height = lengthWords(inlet.heightM, lengthUnit);
  const back = lengthWords(inlet.fromRearM, lengthUnit);
  const side = words.side[inlet.side];
  return {
    width,
    height: 250,
    title: 'Where the inlet sits',
    description: end
      ? `Inlet on the ${side}, ${height} above the ground. Outline of no particular van.`
      : `Inlet on the ${side}, ${back} from the rear, ${height} above the ground. Outline of no particular van.`,
    shapes: [
      text(8, 18, end ? `from the ${inlet.side === 'front' ? 'front' : 'rear'}` : side, {
        size: 14,
        weight: 'bold',
      }),
      line(4, ground, width - 4, ground, 'muted line'),
      ...(end ? endView(inlet, height) : sideView(inlet, back, height)),
      text(8, 242, 'Outline of no particular van.', { size: 13, look: 'muted' }),
    ],
  };
}

function sideView(inlet: BodyPlacementInput['inlet'], back: string, height: string): PlainShape[] {
  const lengthM = Math.max(usualLengthM, inlet.fromRearM + 1.5);
  const perMetre = scaleFor(lengthM, inlet.heightM);
  // The left side is seen with the rear to the right, the right side with the rear to the left.
  const rearX = inlet.side === 'left' ? width - 28 : 28;
  const forward = inlet.side === 'left' ? -1 : 1;
  const at = (alongM: number, upM: number) =>
    [rearX + forward * alongM * perMetre, ground - upM * perMetre] as const;
  const spot = at(inlet.fromRearM, inlet.heightM);
  const corner = (alongM: number, upM: number) =>
    at(alongM, upM)
      .map((v) => v.toFixed(1))
      .join(' ');
  const outline = [
    `M${corner(0.05, 0.42)}L${corner(0, 2.45)}`,
    `Q${corner(0, roofM)} ${corner(0.2, roofM)}`,
    `L${corner(lengthM - 1.75, roofM)}`,
    `Q${corner(lengthM - 1.45, roofM)} ${corner(lengthM - 1.3, 2.42)}`,
    `L${corner(lengthM - 0.85, 1.5)}L${corner(lengthM - 0.15, 1.22)}`,
    `Q${corner(lengthM, 1.15)} ${corner(lengthM, 0.9)}L${corner(lengthM, 0.42)}Z`,
  ];
  const pane = [
    at(lengthM - 1.3, 2.2),
    at(lengthM - 2.05, 2.2),
    at(lengthM - 2.05, 1.55),
    at(lengthM - 1.0, 1.55),
  ];
  const [rear, front] = [at(1.15, 0.34), at(lengthM - 1.0, 0.34)];
  return [
    path(outline.join(''), 'ink boxed'),
    polyline(pane, 'muted line', true),
    line(...at(lengthM - 2.2, 2.3), ...at(lengthM - 2.2, 0.5), 'faint line'),
    ...[rear, front].flatMap(([x, y]) => [circle(x, y, 15, 'ink boxed'), circle(x, y, 6, 'muted line')]),
    ...inletSign(spot),
    ...dimensions(spot, rearX, back, height),
  ];
}

function dimensions(
  [x, y]: readonly [number, number],
  rearX: number,
  back: string,
  height: string,
): PlainShape[] {
  const low = ground + 20;
  const inner = x < width / 2 ? 'start' : 'end';
  const words = `${back} from the rear`;
  const half = textWidth(words, 14) / 2;
  const middle = Math.min(Math.max((x + rearX) / 2, half + 8), width - half - 8);
  return [
    line(x, y + 8, x, low + 6, 'accent dashed'),
    line(rearX, ground - 18, rearX, low + 6, 'accent dashed'),
    ...arrow(x, low, rearX, low),
    text(middle, low + 20, words, { size: 14, anchor: 'middle', look: 'accent' }),
    text(x + (inner === 'start' ? 14 : -14), y - 8, `inlet, ${height} up`, {
      size: 14,
      weight: 'bold',
      anchor: inner,
      look: 'accent',
    }),
  ];
}

function endView({ side, heightM }: BodyPlacementInput['inlet'], height: string): PlainShape[] {
  const perMetre = scaleFor(usualLengthM, heightM);
  // What says no half is drawn in none.
  const x = side === 'rear-left' ? width / 2 - perMetre / 2 : width / 2;
  const [left, right] = [width / 2 - perMetre, width / 2 + perMetre];
  const y = ground - heightM * perMetre;
  const top = ground - roofM * perMetre;
  return [
    rect(left, top, right - left, roofM * perMetre - 18, 'ink boxed', 12),
    rect(left + 12, top + 14, right - left - 24, 36, 'muted line', 4),
    rect(left + 6, ground - 20, 16, 20, 'ink boxed', 4),
    rect(right - 22, ground - 20, 16, 20, 'ink boxed', 4),
    ...inletSign([x, y]),
    line(x - 10, y, left - 34, y, 'accent dashed'),
    ...arrow(left - 26, y, left - 26, ground),
    text(right + 14, y + 5, `inlet, ${height} up`, { size: 14, weight: 'bold', look: 'accent' }),
  ];
}

function inletSign([x, y]: readonly [number, number]): PlainShape[] {
  return [circle(x, y, 8, 'focus outlined'), circle(x, y, 3, 'ink filled')];
}

/** A dimension line with a head at each end; along one axis. */
function arrow(x1: number, y1: number, x2: number, y2: number): PlainShape[] {
  const length = Math.hypot(x2 - x1, y2 - y1);
  if (length < 1) return [];
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const head = Math.min(7, length / 3);
  const tip = (x: number, y: number, way: number) =>
    polyline(
      [
        [x + way * ux * head - uy * 3.5, y + way * uy * head + ux * 3.5],
        [x, y],
        [x + way * ux * head + uy * 3.5, y + way * uy * head - ux * 3.5],
      ],
      'accent line',
    );
  return [line(x1, y1, x2, y2, 'accent line'), tip(x1, y1, 1), tip(x2, y2, -1)];
}

/** Scene units a metre, fewer where the van or the inlet would not fit. */
function scaleFor(lengthM: number, heightM: number): number {
  return Math.min(44, 264 / lengthM, 140 / (heightM + 0.2));
}
