import { cm3PerCubicInch, metresPerFoot, mmPerInch } from './units.js';

/** A number to so many decimals, without trailing zeros. */
export function numberText(value: number, decimals = 2): string {
  return String(Number(value.toFixed(decimals)));
}

/** "12 A". */
export function ampsText(amps: number): string {
  return `${numberText(amps, 1)} A`;
}

/** "7.62 m (25 ft)"; under half a metre "300 mm (11.8 in)". */
export function metresText(lengthM: number): string {
  if (lengthM < 0.5) return millimetresText(lengthM * 1000);
  return `${numberText(lengthM)} m (${numberText(lengthM / metresPerFoot, 1)} ft)`;
}

/** "22 mm (0.87 in)". */
export function millimetresText(mm: number): string {
  return `${numberText(mm, 1)} mm (${numberText(mm / mmPerInch)} in)`;
}

/** "344 cm³ (21 in³)". */
export function volumeText(cm3: number): string {
  return `${numberText(cm3, 0)} cm³ (${numberText(cm3 / cm3PerCubicInch)} in³)`;
}

/** "12 AWG". */
export function gaugeText(awg: number): string {
  return `${awg} AWG`;
}

/** "a", "a and b", "a, b and c". */
export function listText(items: readonly string[]): string {
  return items.length < 2 ? (items[0] ?? '') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;
}
