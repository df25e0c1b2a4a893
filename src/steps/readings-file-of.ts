import { electricalCircuit } from '../circuit/electrical.js';
import type { EntryBody } from '../logbook/entry.js';
import { parseReading, type Reading, type ReadingsFile } from '../meter/readings-file.js';
import type { Assessment } from './assessment.js';
import { meterOf, usualMeter } from './meter-of.js';
import type { PlannedReading } from './step.js';

type Taken = EntryBody<'reading taken'>;

/**
 * The job's standing readings in the readings language, for the fault-finder: those that it has a word for. Readings with
 * a low-impedance range and those taken with the cord out that are no resistances are left out: it predicts neither.
 */
export function readingsFileOf(
  job: Assessment,
  added?: { readonly planned: PlannedReading; readonly body: Taken },
): ReadingsFile {
  const circuit = electricalCircuit(job.circuit);
  const taken = [...job.readings.values()]
    .filter((r) => r.taken !== undefined && r.planned.id !== added?.planned.id)
    .map((r) => ({ planned: r.planned, body: r.taken!.body, seq: r.taken!.seq }));
  const all = added ? [...taken, { ...added, seq: Number.POSITIVE_INFINITY }] : taken;
  const readings = all.flatMap(({ planned, body }) => readingOf(circuit, planned, body));
  // One file has one meter: the one that showed the newest number.
  const newest = all
    .filter((r) => r.body.instrument !== undefined)
    .sort((a, b) => a.seq - b.seq)
    .at(-1);
  return {
    format: 'inlet-readings/1',
    circuit,
    meter: meterOf(newest?.body.instrument) ?? usualMeter,
    readings,
  };
}

function readingOf(circuit: ReadingsFile['circuit'], planned: PlannedReading, body: Taken): Reading[] {
  const raw = rawReading(planned, body);
  if (raw === undefined) return [];
  const parsed = parseReading(circuit, raw);
  return parsed.ok ? [parsed.reading] : [];
}

function rawReading(planned: PlannedReading, { shown }: Taken): Record<string, unknown> | undefined {
  const { from, to } = planned;
  switch (shown.kind) {
    case 'ohms':
      return { test: 'resistance', from, to, ohms: shown.ohms };
    case 'volts':
      return isLivePotential(planned) && !shown.lowImpedance
        ? { test: 'voltage', from, to, volts: shown.volts }
        : undefined;
    case 'loaded-volts':
      return { test: 'loaded-voltage', from, to, amps: shown.amps, volts: shown.volts };
    case 'answer':
      return answerOf(planned, shown.answer);
    case 'lamps': {
      const { kind: _kind, ...lamps } = shown;
      return { test: 'observation', what: 'three-lamp', at: from?.split('.')[0], lamps };
    }
  }
}

/** Volts with the cord in and the device reset: those before the cord goes in, or after TEST, are other states of the van. */
function isLivePotential(planned: PlannedReading): boolean {
  return planned.rule === 'polarity' || planned.rule === 'chassis-to-earth';
}

function answerOf(planned: PlannedReading, answer: boolean): Record<string, unknown> | undefined {
  const at = planned.from?.split('.')[0];
  if (planned.what === 'supply-holds' || planned.what === 'gfci-resets') {
    return { test: 'observation', what: planned.what, answer };
  }
  if (planned.what === 'dead-when-tripped') return { test: 'observation', what: planned.what, at, answer };
  if (planned.what === 'holds-under-load') {
    return { test: 'observation', what: planned.what, at, amps: planned.amps, answer };
  }
  return undefined;
}
