import { firstGroundFaultDevice } from '../meter/electrical-circuit.js';
import { placeOf } from '../meter/point.js';
import { loadedOutlet, type ReadingsFile, type Test } from '../meter/readings-file.js';
import { slotPairs } from '../meter/schedule.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { Answer } from './diagnose.js';
import { deadFails, overVolts, skinVerdict } from './first-of-all.js';
import { nextReading } from './next-reading.js';
import { Taken } from './taken.js';

/**
 * The reading that a person goes on with: the answer's own where it may be taken as things stand, else the one of those that may
 * which parts the suspects best, else the first of the round that has to come before anything further. Null where nothing is left,
 * or where something has to be mended first.
 */
export function goOnWith(file: ReadingsFile, answer: Answer): Test | null {
  const { nextReading: asked, suspects, missing } = answer;
  const may = mayBeTaken(file, answer);
  if (asked === null || may(asked)) return asked;
  const { circuit, readings, meter } = file;
  return nextReading(circuit, new Taken(readings, meter), suspects, may) ?? missing.find(may) ?? null;
}

/**
 * The order of the work, as far as these readings go. With the cord out anything may be read. Nothing live before every dead
 * reading of the round was taken and none fails; nothing in the van before its skin stands under what asks to unplug, and its
 * supply holds; no load before the device resets and the outlet's own three voltages stand, nor through more than a poor joint.
 */
function mayBeTaken(
  file: ReadingsFile,
  { limits, missing, suspects, joints }: Answer,
): (test: Test) => boolean {
  const taken = new Taken(file.readings, file.meter);
  const yes = (what: 'supply-holds' | 'gfci-resets') =>
    taken.answers(what).length > 0 && !taken.answers(what).includes(false);
  const deadDone = !missing.some((t) => t.test === 'resistance') && !deadFails(file, limits);
  const skin = skinVerdict(file);
  const over = overVolts(file);
  const hasDevice = firstGroundFaultDevice(file.circuit) > 0;
  const resets = !hasDevice || yes('gfci-resets');
  const most = readingLimits.loadThroughJoint.value;
  const joint =
    suspects.every((s) => s.faults.every((f) => f.fault === 'high-resistance' && f.ohms < most)) &&
    joints.every((j) => j.what !== 'load-off');
  const stands = (at: string) =>
    slotPairs.every(([a, b]) => taken.volts(`${at}.${a}`, `${at}.${b}`).length > 0) &&
    !limits.some((l) => l.rule === 'polarity' && l.at === at && l.verdict === 'fail');
  const loadedAt = (from: string) => `outlet${loadedOutlet(file.circuit, from)}`;
  return (test) => {
    if (test.test === 'resistance') return true;
    if (!deadDone || skin === 'fail' || over) return false;
    const places = test.test === 'observation' ? [] : [test.from, test.to].map(placeOf);
    if (places.length > 0 && places.every((p) => outsideVan.has(p)) && !('amps' in test)) return true;
    if (skin !== 'pass') return false;
    if (test.test === 'observation' && test.what === 'supply-holds') return true;
    if (!yes('supply-holds')) return false;
    if ('amps' in test)
      return resets && joint && stands(test.test === 'observation' ? test.at : loadedAt(test.from));
    if (test.test !== 'observation') return !hasDevice || taken.answers('gfci-resets').length > 0;
    return test.what !== 'dead-when-tripped' || resets;
  };
}

/** Where a probe touches nothing that the van feeds; chassis to true earth is the first reading of all with the cord in. */
const outsideVan: ReadonlySet<string> = new Set(['supply', 'connector', 'chassis', 'earth']);
