import type { Circuit } from './circuit.js';
import { boxLines } from './sheet/boxes.js';
import { cableAmpacityLines } from './sheet/cable-ampacity.js';
import { cableMethodLines } from './sheet/cable-method.js';
import { bondLines } from './sheet/chassis-bond.js';
import { cordLines } from './sheet/cord-fit.js';
import { entryLines } from './sheet/entry-fit.js';
import { faultLines } from './sheet/fault-current.js';
import { groundFaultLines } from './sheet/ground-fault-device.js';
import { inletPlaceLines } from './sheet/inlet-place.js';
import { loadLines } from './sheet/load-totals.js';
import { otherSourceLines } from './sheet/other-sources.js';
import { ratingLines } from './sheet/ratings.js';
import { voltageDropLines } from './sheet/voltage-drop.js';
import type { SheetLine } from './sheet-line.js';

/** Everything that is computed before cutting, in the order of `sheetGroups`. */
export function sheet(circuit: Circuit): SheetLine[] {
  return [
    ratingLines,
    cableAmpacityLines,
    cordLines,
    voltageDropLines,
    loadLines,
    boxLines,
    entryLines,
    faultLines,
    groundFaultLines,
    cableMethodLines,
    inletPlaceLines,
    bondLines,
    otherSourceLines,
  ].flatMap((group) => group(circuit));
}
