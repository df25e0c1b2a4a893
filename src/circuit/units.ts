/** Exact conversions between what the trade writes and SI. */
export const metresPerFoot = 0.3048;
export const mmPerInch = 25.4;
export const cm3PerCubicInch = 16.387064;
const newtonMetresPerInchPound = 0.1129848290276167;
const newtonsPerPound = 4.4482216152605;

/** What a shop reads first; everything is kept in SI. */
export type UnitSystem = 'metric' | 'imperial';

/** The unit of a length on a drawing. */
export function lengthUnitOf(units: UnitSystem): 'm' | 'ft' {
  return units === 'imperial' ? 'ft' : 'm';
}

/** The quantities a person enters, with the units each may be written in; the first is the SI unit it is kept in. */
export const quantities = {
  length: { m: 1, ft: metresPerFoot, in: mmPerInch / 1000, cm: 0.01, mm: 0.001 },
  diameter: { mm: 1, in: mmPerInch },
  volume: { cm3: 1, in3: cm3PerCubicInch },
  torque: { N·m: 1, 'in-lbf': newtonMetresPerInchPound },
  force: { N: 1, lbf: newtonsPerPound },
  temperature: { '°C': 1, '°F': 5 / 9 },
  'temperature-rise': { '°C': 1, '°F': 5 / 9 },
  voltage: { V: 1 },
  current: { A: 1 },
  resistance: { Ω: 1, kΩ: 1e3, MΩ: 1e6 },
  time: { min: 1, s: 1 / 60, h: 60 },
  count: { '': 1 },
} as const satisfies Record<string, Record<string, number>>;

export type Quantity = keyof typeof quantities;

/** What a scale shows where the SI unit is 0, for the one that does not begin there. */
export function zeroOf(quantity: Quantity, unit: string): number {
  return quantity === 'temperature' && unit === '°F' ? 32 : 0;
}

/** A value in `unit` as SI, or undefined where the quantity has no such unit. */
export function inSi(quantity: Quantity, value: number, unit: string): number | undefined {
  const factor = unitFactor(quantity, unit);
  return factor === undefined ? undefined : (value - zeroOf(quantity, unit)) * factor;
}

/** An SI value in `unit`. A unit that the quantity does not have throws. */
export function fromSi(quantity: Quantity, si: number, unit: string): number {
  const factor = unitFactor(quantity, unit);
  if (factor === undefined) throw new RangeError(`${quantity} has no unit ${unit}`);
  return si / factor + zeroOf(quantity, unit);
}

/** How many of the SI unit one of `unit` is, or undefined where the quantity has no such unit. */
export function unitFactor(quantity: Quantity, unit: string): number | undefined {
  const units: Record<string, number> = quantities[quantity];
  return Object.hasOwn(units, unit) ? units[unit] : undefined;
}

/** To how many decimals a unit is said: as finely as a rule, a calliper or a torque tool shows it. */
const decimalsOf: Readonly<Record<string, number>> = { mm: 1, cm: 1, cm3: 0, 'in-lbf': 1 };

/** What an inspector reads: the SI value in the unit asked for, to so many decimals, without trailing zeros. */
export function inUnit(
  quantity: Quantity,
  si: number,
  unit: string,
  decimals = decimalsOf[unit] ?? 2,
): string {
  return `${Number(fromSi(quantity, si, unit).toFixed(decimals))} ${unit}`.trim();
}

/** A limit in the unit asked for, rounded into what it allows: whoever keeps to the printed figure keeps to the limit. */
export function limitInUnit(quantity: Quantity, si: number, unit: string, side: 'least' | 'most'): string {
  const tens = 10 ** (decimalsOf[unit] ?? 2);
  const value = fromSi(quantity, si, unit) * tens;
  const rounded = side === 'least' ? Math.ceil(value - 1e-6) : Math.floor(value + 1e-6);
  return `${rounded / tens} ${unit}`.trim();
}

const plainNumber = /^[+-]?(\d+(?:[.,]\d*)?|[.,]\d+)$/;
const thousands = /^[+-]?[1-9]\d{0,2},\d{3}$/;

/**
 * A decimal number as a person types it (point or comma), or undefined. No exponents, no thousands marks: “1,500” is
 * refused, since one person means 1500 by it and another 1.5.
 */
export function parseDecimal(typed: string): number | undefined {
  const text = typed.trim();
  if (!plainNumber.test(text) || thousands.test(text)) return undefined;
  const value = Number(text.replace(',', '.'));
  return Number.isFinite(value) ? value : undefined;
}

/** What is said of a unit that the quantity does not have. */
export function noSuchUnit(unit: string): string {
  return `has no unit “${unit.slice(0, 20)}”`;
}

/** What is said of a figure that `parseDecimal` does not read; one that could be meant in two ways is told both. */
export function notANumber(typed: string): string {
  const text = typed.trim();
  return thousands.test(text)
    ? `“${text}” could be meant in two ways: write ${text.replace(',', '')} or ${text.replace(',', '.')}`
    : `“${text.slice(0, 40)}” is not a number${/^[+-]?[.,]?\d/.test(text) ? ': write one number, in the unit that stands beside it' : ''}`;
}

/** Whether a person wrote what a meter shows over its range: OL or 0L, with its point or a space wherever the meter has one. */
export function isOverRange(typed: string): boolean {
  return /^[o0]l$/i.test(typed.replace(/[\s.]/g, ''));
}
