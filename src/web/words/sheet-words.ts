import { notJudged, type SheetLine } from '../../circuit/sheet-line.js';
import type { UnitSystem } from '../../circuit/units.js';
import { unitsFirst } from '../../circuit/units-first.js';

/** A line's limit as the page says it; nothing where there is none. */
export function limitWords({ limit }: SheetLine, units: UnitSystem): string {
  return limit === '' || limit === notJudged ? limit : `limit: ${unitsFirst(limit, units)}`;
}
