import { parseDecimal, type Quantity, unitFactor } from './units.js';

/** A figure as one decimal number, and the unit that it is in. */
interface TypedFigure {
  readonly typed: string;
  readonly value: number;
  readonly unit: string;
}

/** How people write a unit behind its figure, beside its own letters. Small letters alone never tell mΩ from MΩ, so no other is let in. */
const spellings: Readonly<Record<string, readonly string[]>> = {
  ft: ["'", 'ft.', 'feet'],
  in: ['"', 'in.', 'inch', 'inches'],
  V: ['v', 'volts'],
  A: ['a', 'amps'],
  W: ['w', 'watts'],
  Ω: ['ohm', 'ohms'],
  cm3: ['cm³'],
  in3: ['in³'],
};

const parts: Readonly<Record<string, string>> = {
  '½': ' 1/2',
  '¼': ' 1/4',
  '¾': ' 3/4',
  '⅛': ' 1/8',
  '⅜': ' 3/8',
  '⅝': ' 5/8',
  '⅞': ' 7/8',
};

const feetAndInches = /^(\d{1,4}) ?(?:'|ft\.?|feet) ?(.+)$/;
const fraction = /^(?:(\d{1,4})[ -])?(\d{1,2})\/(2|4|8|16|32|64)$/;

/**
 * What a person typed in a field of a unit, as a tape, a plate or a meter says it: "5' 11 1/2\"" is 71.5 in, "7/8" in inches 0.875, "120 V" in
 * volts 120. A fraction is one of a rule, halves to 64ths, and so exact as a decimal number. A plain number stays as it was typed; undefined
 * where the text is none of these, or names another unit than the field's.
 */
export function readFigure(typed: string, quantity: Quantity, unit: string): TypedFigure | undefined {
  const text = typed.trim();
  const plainValue = parseDecimal(text);
  if (plainValue !== undefined) return { typed: text, value: plainValue, unit };
  const plain = text
    .replace(/[’′]/g, "'")
    .replace(/[“”″]|''/g, '"')
    .replace(/[½¼¾⅛⅜⅝⅞]/g, (part) => parts[part] as string)
    .replace(/\s+/g, ' ')
    .trim();
  const onRule = unit === 'in' || unit === 'ft';
  const [, feet, rest = ''] = (onRule && feetAndInches.exec(plain)) || [];
  if (feet !== undefined && unitFactor(quantity, 'in') !== undefined) {
    const inches = onRuleOf(withoutUnit(rest, 'in') ?? rest);
    if (inches === undefined || inches >= 12) return undefined;
    const value = Number(feet) * 12 + inches;
    return { typed: String(value), value, unit: 'in' };
  }
  const alone = withoutUnit(plain, unit) ?? plain;
  const value = onRule ? onRuleOf(alone) : parseDecimal(alone);
  return value === undefined ? undefined : { typed: onRule ? String(value) : alone, value, unit };
}

/** A figure without the unit behind it; undefined where none, or another, stands there. */
function withoutUnit(text: string, unit: string): string | undefined {
  const end = [unit, ...(spellings[unit] ?? [])].find((said) => said !== '' && text.endsWith(said));
  return end === undefined ? undefined : text.slice(0, -end.length).trim();
}

/** A decimal number or a fraction of a rule, "7/8", "4 3/8" or "4-3/8". */
function onRuleOf(text: string): number | undefined {
  const [, whole = '0', over, under] = fraction.exec(text) ?? [];
  if (over === undefined) return parseDecimal(text);
  return Number(over) < Number(under) ? Number(whole) + Number(over) / Number(under) : undefined;
}
