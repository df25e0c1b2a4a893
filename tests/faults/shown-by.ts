import type { Fault } from '../../src/meter/fault.js';
import { predict } from '../../src/meter/predict.js';
import type { Reading, ReadingsFile, Test } from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { handheld, van } from '../meter/vans.js';

/** A file of what a van with these faults shows at some tests, without a meter's error; a ghost shows 48 V. */
export function shownBy(
  faults: readonly Fault[],
  {
    circuit = van(3),
    tests = fullSchedule(circuit),
  }: { circuit?: ReadingsFile['circuit']; tests?: readonly Test[] } = {},
): ReadingsFile {
  const readings = predict(circuit, handheld, faults, tests).map((p, i): Reading => {
    const test = tests[i]!;
    if (p.kind === 'ohms')
      return { ...test, ohms: p.ohms === null ? null : Number(p.ohms.toFixed(1)) } as Reading;
    if (p.kind === 'volts')
      return { ...test, volts: p.floating ? 48 : Number(p.volts.toFixed(1)) } as Reading;
    if (p.kind === 'lamps') return { ...test, lamps: p.lamps } as Reading;
    return { ...test, answer: p.answer ?? true } as Reading;
  });
  return { format: 'inlet-readings/1', circuit, meter: handheld, readings };
}
