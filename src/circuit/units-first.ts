import type { UnitSystem } from './units.js';

const both = /(-?\d[\d.]*) (m|mm|cm³|N·m|N|km|kg|°C) \((-?\d[\d./-]*) (ft|in|in³|in-lbf|lbf|miles|lb|°F)\)/g;

/**
 * The program's own sentences with the shop's units first: "7.62 m (25 ft)" becomes "25 ft (7.62 m)" where the shop reads
 * feet and inches. Never for what a person typed: that stays as it was written. A gauge stays ahead of its mm² for everyone,
 * since cable of this trade is sold and marked by it.
 */
export function unitsFirst(text: string, units: UnitSystem): string {
  return units === 'imperial' ? text.replace(both, '$3 $4 ($1 $2)') : text;
}
