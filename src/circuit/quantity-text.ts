import { awgAreaMm2 } from '../trade/wire.js';
import {
  cm3PerCubicInch,
  fromSi,
  inUnit,
  limitInUnit,
  metresPerFoot,
  mmPerInch,
  type Quantity,
} from './units.js';

/** A number to so many decimals, without trailing zeros. */
export function numberText(value: number, decimals = 2): string {
  return String(Number(value.toFixed(decimals)));
}

/** One decimal, or as many as part the value from a limit that it misses: nothing reads "3 %, at most 3 %, misses". */
export function partedText(value: number, most: number): string {
  const places = [1, 2, 3].find((n) => value <= most || Number(value.toFixed(n)) > most) ?? 4;
  return numberText(value, places);
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

/** Ohms to so many figures, in the multiple that reads best: "0.12 Ω", "1.5 kΩ", "2 MΩ". */
export function ohmsText(ohms: number, figures: number): string {
  const say = (value: number, unit: string) => `${Number(value.toPrecision(figures))} ${unit}`;
  if (ohms >= 1e6) return say(ohms / 1e6, 'MΩ');
  return ohms >= 1e3 ? say(ohms / 1e3, 'kΩ') : say(ohms, 'Ω');
}

/** "1.6 N·m (14.2 in-lbf)". */
export function torqueText(nm: number): string {
  return `${inUnit('torque', nm, 'N·m')} (${inUnit('torque', nm, 'in-lbf', 1)})`;
}

/** "50 °C (122 °F)". */
export function celsiusText(c: number): string {
  return `${numberText(c, 1)} °C (${numberText(fromSi('temperature', c, '°F'), 0)} °F)`;
}

/** A value in the unit it is wanted in, and in the other system's beside it where that is another: "25 ft (7.62 m)". */
export function inBothUnits(quantity: Quantity, si: number, unit: string, units: BothUnits): string {
  return besideOther(unit, units, (in_) => inUnit(quantity, si, in_));
}

/** A least or a most in the unit it is wanted in, and in the other system's beside it where that is another. */
export function limitInBothUnits(
  quantity: Quantity,
  si: number,
  unit: string,
  units: BothUnits,
  side: 'least' | 'most',
): string {
  return besideOther(unit, units, (in_) => limitInUnit(quantity, si, in_, side));
}

interface BothUnits {
  readonly metric: string;
  readonly imperial: string;
}

function besideOther(unit: string, { metric, imperial }: BothUnits, say: (unit: string) => string): string {
  const other = unit === imperial ? metric : imperial;
  return other === unit ? say(unit) : `${say(unit)} (${say(other)})`;
}

/** A value as it was typed, and in the other system beside it where that has another unit. */
export function measuredText(
  quantity: Quantity,
  { si, typed, unit }: { readonly si: number; readonly typed: string; readonly unit: string },
  units: BothUnits,
): string {
  const other = unit === units.metric ? units.imperial : units.metric;
  const asTyped = `${typed} ${unit}`.trim();
  return other === unit ? asTyped : `${asTyped} (${inUnit(quantity, si, other)})`;
}

/** "12 AWG (3.31 mm²)": the size by which cable is sold here, and its copper. */
export function gaugeAreaText(awg: number): string {
  return `${gaugeText(awg)} (${numberText(awgAreaMm2(awg))} mm²)`;
}

/** "12 AWG". */
export function gaugeText(awg: number): string {
  return `${awg} AWG`;
}

/** The same words with a capital at their beginning. */
export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The same words with a small letter at their beginning, to go on within a sentence. */
export function uncapital(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

/** "a", "a and b", "a, b and c". */
export function listText(items: readonly string[]): string {
  return items.length < 2 ? (items[0] ?? '') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;
}
