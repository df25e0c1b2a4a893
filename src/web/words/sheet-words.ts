import type { SheetLine } from '../../circuit/sheet-line.js';
import { unitsFirst } from '../../circuit/units-first.js';

/** A line's limit as the page says it; nothing where there is none. */
export function limitWords({ limit }: SheetLine, units: 'metric' | 'imperial'): string {
  if (limit === '') return '';
  return limit === 'said, not judged' ? 'noted, not judged' : `limit: ${unitsFirst(limit, units)}`;
}
