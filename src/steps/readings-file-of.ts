import type { EntryBody } from '../logbook/entry.js';
import { electricalCircuit } from '../meter/electrical-circuit.js';
import { placeOf } from '../meter/point.js';
import { parseReading, type Reading, type ReadingsFile } from '../meter/readings-file.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { Assessment } from './assessment.js';
import { meterOf, usualMeter } from './meter-of.js';
import type { PlannedReading } from './step.js';

type Taken = EntryBody<'reading taken'>;

interface StandingTaken {
  readonly planned: PlannedReading;
  readonly body: Taken;
  readonly seq: number;
}

/** A reading of the job that the fault-finder cannot use, and why. */
interface LeftOut {
  readonly planned: PlannedReading;
  readonly why: string;
}

/** What a meter's low-impedance range loads the circuit with, Ω. @source common practice, no source: 2 to 5 kΩ */
const lowImpedanceInputOhm = 3000;

/** The job's standing readings in the readings language, for the fault-finder: all that it has a word for. */
export function readingsFileOf(
  job: Assessment,
  added?: { readonly planned: PlannedReading; readonly body: Taken },
): ReadingsFile {
  const circuit = electricalCircuit(job.circuit);
  const taken = takenOf(job).filter((r) => r.planned.id !== added?.planned.id);
  const all = added ? [...taken, { ...added, seq: Number.POSITIVE_INFINITY }] : taken;
  const said = all.map((r) => wordFor(r, circuit, all));
  // One file has one meter: the one that showed the newest number.
  const newest = all
    .filter((r) => r.body.instrument !== undefined)
    .sort((a, b) => a.seq - b.seq)
    .at(-1);
  return {
    format: 'inlet-readings/1',
    circuit,
    meter: meterOf(newest?.body.instrument) ?? usualMeter,
    readings: said.flatMap((word) => (typeof word === 'string' ? [] : [word])),
  };
}

/** The standing readings of a job that `readingsFileOf` has no word for, each with its reason. */
export function readingsLeftOut(job: Assessment): LeftOut[] {
  const circuit = electricalCircuit(job.circuit);
  const all = takenOf(job);
  return all.flatMap((r) => {
    const why = wordFor(r, circuit, all);
    return typeof why === 'string' ? [{ planned: r.planned, why }] : [];
  });
}

function takenOf(job: Assessment): StandingTaken[] {
  return [...job.readings.values()].flatMap(({ planned, taken }) =>
    taken === undefined ? [] : [{ planned, body: taken.body, seq: taken.seq }],
  );
}

/** The reading in the readings language, or why it has no word there. */
function wordFor(
  { planned, body }: StandingTaken,
  circuit: ReadingsFile['circuit'],
  all: readonly StandingTaken[],
): Reading | string {
  const raw = rawReading(planned, body, vanLoadsSupply(all));
  if (typeof raw === 'string') return raw;
  const parsed = parseReading(circuit, raw);
  return parsed.ok ? parsed.reading : 'it names a point that the fault-finder does not know';
}

/** True where the van itself pulls at the supply: what its slots showed before the cord went in says nothing of then. */
function vanLoadsSupply(all: readonly StandingTaken[]): boolean {
  return all.some(({ planned, body: { shown } }) => {
    if (shown.kind === 'answer') return planned.what === 'supply-holds' && !shown.answer;
    const joined = shown.kind === 'ohms' && shown.ohms !== null && shown.ohms < readingLimits.through.value;
    return joined && planned.rule === 'isolation';
  });
}

function rawReading(
  planned: PlannedReading,
  { shown }: Taken,
  vanLoads: boolean,
): Record<string, unknown> | string {
  const { from, to } = planned;
  switch (shown.kind) {
    case 'ohms':
      if (isElectronics(planned, shown.ohms))
        return 'electronics of the ground-fault device lie across this pair, and may be all that it shows';
      return rangeProvesNothing(planned, shown)
        ? 'OL on a range that ends early says only “more than that”'
        : { test: 'resistance', from, to, ohms: shown.ohms };
    case 'volts':
      return voltsRaw(planned, shown, vanLoads);
    case 'loaded-volts':
      return { test: 'loaded-voltage', from, to, amps: shown.amps, volts: shown.volts };
    case 'answer':
      return answerOf(planned, shown.answer);
    case 'lamps': {
      const { kind: _kind, ...lamps } = shown;
      return { test: 'observation', what: 'three-lamp', at: from && placeOf(from), lamps };
    }
  }
}

/** Between hot and neutral, where electronics are to be expected: some ohms there that are no short point to no fault. */
function isElectronics({ rule, from = '', to = '', limit }: PlannedReading, ohms: number | null): boolean {
  const least = readingLimits.isolationWithElectronics.value;
  const pair = rule === 'isolation' && from.endsWith('.hot') && to.endsWith('.neutral');
  return pair && limit?.lower === least && ohms !== null && ohms >= least;
}

/** OL on a range set by hand: open where a conductor should be through, but no proof that two are apart. */
function rangeProvesNothing(
  { expected }: PlannedReading,
  { ohms, rangeOhms }: { ohms: number | null; rangeOhms?: number | undefined },
): boolean {
  if (ohms !== null || rangeOhms === undefined) return false;
  const through = typeof expected.value === 'number' && expected.value < readingLimits.through.value;
  return rangeOhms < (through ? readingLimits.through.value : readingLimits.isolation.value);
}

/** Volts are used in the state that the fault-finder predicts: cord in, device reset if it will, or at the cord's free end. */
function voltsRaw(
  { rule, from, to }: PlannedReading,
  { volts, lowImpedance }: { volts: number; lowImpedance: boolean },
  vanLoads: boolean,
): Record<string, unknown> | string {
  if (rule === 'ground-fault-device') return 'it was taken after TEST, and stands as the answer there';
  if (rule === 'absence-of-voltage') return 'it was taken dead, before the other dead tests';
  if (rule === 'other-source') return 'another source was running, with the cord out';
  if (from === undefined || to === undefined) return 'it names no two points';
  if (rule !== 'polarity' && rule !== 'chassis-to-earth' && rule !== 'supply')
    return 'it was taken in another state of the van';
  if (vanLoads && from.startsWith('supply.'))
    return 'it was taken before the cord went in, and this van pulls at its supply';
  if (!lowImpedance) return { test: 'voltage', from, to, volts };
  const safe =
    ![from, to].some((p) => p === 'chassis' || p === 'earth') &&
    (!from.endsWith('.hot') || !to.endsWith('.ground'));
  if (!safe) return 'on the low-impedance range it trips a ground-fault device by itself';
  return { test: 'voltage', from, to, volts, inputOhms: lowImpedanceInputOhm };
}

function answerOf(planned: PlannedReading, answer: boolean): Record<string, unknown> | string {
  const at = planned.from && placeOf(planned.from);
  if (planned.what === 'supply-holds' || planned.what === 'gfci-resets') {
    return { test: 'observation', what: planned.what, answer };
  }
  if (planned.what === 'dead-when-tripped') return { test: 'observation', what: planned.what, at, answer };
  if (planned.what === 'holds-under-load') {
    return { test: 'observation', what: planned.what, at, amps: planned.amps, answer };
  }
  return 'it is not among its tests';
}
