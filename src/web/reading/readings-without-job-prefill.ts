import type { ReadingsFile } from '../../meter/readings-file.js';
import { testLoadA } from '../../meter/schedule.js';
import type { Assessment } from '../../steps/assessment.js';
import { readingsFileOf } from '../../steps/readings-file-of.js';
import type { FlatTyped } from '../page/form.js';

/** The form with a job's van and readings in it, as a file, and one row for the test that `asked` names. */
export function readingsOfJobTyped(number: string, job: Assessment, asked: FlatTyped): FlatTyped {
  const file = readingsFileOf(job);
  const row = ['test', 'from', 'to'].flatMap((part): [string, string][] => {
    const text = asked[part];
    return text === undefined ? [] : [[`row.0.${part}`, text.slice(0, 40)]];
  });
  return {
    ...vanTyped(file.circuit),
    ...Object.fromEntries(row),
    job: number,
    rows: '1',
    loadA: (asked.amps ?? String(testLoadA)).slice(0, 10),
    file: fileText(file),
  };
}

/** One reading a line: a person may look it through. */
function fileText({ readings, ...head }: ReadingsFile): string {
  const start = JSON.stringify({ ...head, readings: [] }).slice(0, -2);
  return `${start}\n${readings.map((r) => JSON.stringify(r)).join(',\n')}\n]}`;
}

function vanTyped({
  supply,
  cord,
  inlet,
  breaker,
  inletWire,
  bond,
  run,
}: ReadingsFile['circuit']): FlatTyped {
  const outlets = run.flatMap((o, k): [string, string][] => [
    [`outlet.${k}.device`, o.device],
    [`outlet.${k}.awg`, String(o.feed.awg)],
    [`outlet.${k}.length`, String(o.feed.lengthM)],
  ]);
  return {
    ...Object.fromEntries(outlets),
    outlets: String(run.length),
    unit: 'm',
    volts: String(supply.volts),
    loopOhms: String(supply.loopOhms),
    'cord.awg': String(cord.awg),
    'cord.length': String(cord.lengthM),
    inletAmps: String(inlet.amps),
    breakerAmps: breaker === null ? 'none' : String(breaker.amps),
    ...(inletWire && {
      'inletWire.awg': String(inletWire.awg),
      'inletWire.length': String(inletWire.lengthM),
    }),
    'bond.awg': String(bond.awg),
    'bond.length': String(bond.lengthM),
  };
}
