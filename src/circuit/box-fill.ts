import { conductorCubicInches, fillRule } from '../trade/box-volume.js';

/** What is in a box. Pigtails that never leave it are left out. */
export interface BoxContents {
  /** AWG of every hot and neutral that ends, is spliced or passes through. */
  readonly conductors: readonly number[];
  /** AWG of every grounding or bonding conductor from outside. */
  readonly grounds: readonly number[];
  /** For each yoke, AWG of the largest conductor connected to it. */
  readonly devices: readonly number[];
  readonly internalClamps: boolean;
}

/** The fill in in³ with its parts, or undefined where a size has no allowance. @source NEC 314.16(B) */
export interface BoxFill {
  readonly cubicInches: number;
  readonly parts: readonly { readonly text: string; readonly cubicInches: number }[];
}

/** Counts a box's contents, each part in in³. */
export function boxFill(contents: BoxContents): BoxFill | undefined {
  const { conductors, grounds, devices, internalClamps } = contents;
  const sizes = [...conductors, ...grounds];
  if ([...sizes, ...devices].some((awg) => conductorCubicInches(awg) === undefined)) return undefined;
  const parts = [
    ...bySize(conductors).map(([awg, count]) => ({
      text: `${count} × ${awg} AWG conductor`,
      cubicInches: count * each(awg) * fillRule('conductor').count,
    })),
    ...bySize(devices).map(([awg, count]) => ({
      text: count === 1 ? `the device as 2 × ${awg} AWG` : `${count} devices as ${2 * count} × ${awg} AWG`,
      cubicInches: count * each(awg) * fillRule('device').count,
    })),
  ];
  if (grounds.length > 0) {
    const count = fillRule('grounds').count + Math.max(0, grounds.length - 4) / 4;
    parts.push({
      text: `${grounds.length === 1 ? 'the ground' : `${grounds.length} grounds`} as ${count} × ${largest(grounds)} AWG`,
      cubicInches: count * each(largest(grounds)),
    });
  }
  if (internalClamps && sizes.length > 0)
    parts.push({ text: `the clamps as 1 × ${largest(sizes)} AWG`, cubicInches: each(largest(sizes)) });
  return { cubicInches: parts.reduce((sum, part) => sum + part.cubicInches, 0), parts };
}

function each(awg: number): number {
  return conductorCubicInches(awg)!;
}

function largest(sizes: readonly number[]): number {
  return Math.min(...sizes);
}

function bySize(sizes: readonly number[]): [number, number][] {
  const distinct = [...new Set(sizes)].sort((a, b) => b - a);
  return distinct.map((awg) => [awg, sizes.filter((s) => s === awg).length]);
}
