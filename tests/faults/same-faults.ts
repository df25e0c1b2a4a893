import type { Answer, Suspect } from '../../src/faults/diagnose.js';
import { Evidence } from '../../src/faults/evidence.js';
import type { Fault } from '../../src/meter/fault.js';
import type { ReadingsFile } from '../../src/meter/readings-file.js';

/** The suspects within a factor of ten of the first. */
export function leadingGroup(answer: Answer): readonly Suspect[] {
  const least = (answer.suspects[0]?.probability ?? 0) / 10;
  return answer.suspects.filter((s) => s.probability >= least);
}

/** True where two lists name the same faults at the same places, whatever their ohms. */
export function sameFaults(a: readonly Fault[], b: readonly Fault[]): boolean {
  const names = (faults: readonly Fault[]) => faults.map(nameOf).sort().join('; ');
  return a.length === b.length && names(a) === names(b);
}

/** True where no reading of the file parts two sets of faults: each shows the same within the meter's error, or floats. */
export function cannotPart(file: ReadingsFile, a: readonly Fault[], b: readonly Fault[]): boolean {
  const evidence = new Evidence(file.circuit, file.meter, file.readings);
  const [x, y] = [evidence.bench.shows(a).values, evidence.bench.shows(b).values];
  const { overLimit } = file.meter.ohms;
  return evidence.readings.every((reading, i) => {
    if (Number.isNaN(x[i]!) || Number.isNaN(y[i]!)) return true;
    if (reading.test === 'resistance' && (x[i]! > overLimit || y[i]! > overLimit))
      return x[i]! > overLimit === y[i]! > overLimit;
    return Math.abs(x[i]! - y[i]!) <= 1.5 * evidence.error(i);
  });
}

function nameOf(fault: Fault): string {
  const on =
    'conductors' in fault
      ? [...fault.conductors].sort().join('-')
      : 'conductor' in fault
        ? fault.conductor
        : '';
  return `${fault.fault} ${fault.where} ${on}`;
}
