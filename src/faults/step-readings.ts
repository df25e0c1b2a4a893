import { firstGroundFaultDevice } from '../meter/electrical-circuit.js';
import { judgeAgainstLimit, type LimitVerdict } from '../meter/judge.js';
import { placeOf } from '../meter/point.js';
import { type Prediction, predict } from '../meter/predict.js';
import type { Lamps, Reading, ReadingsFile } from '../meter/readings-file.js';
import { isOverVolts } from './as-met.js';
import { Evidence } from './evidence.js';
import { roughOhms } from './fault-words.js';
import { deadLimits, judgeApart, type Limits, liveLimits } from './rule-limits.js';
import { rankSuspects } from './suspects.js';
import { measured } from './taken.js';

/** One reading beside what a sound circuit would show. */
export interface SteppedReading {
  readonly test: Reading;
  readonly expected: string;
  readonly shown: string;
  /**
   * Against the rule’s figure, or, where the rules have none for it, against the expected value. A ghost proves nothing right, and
   * nothing wrong but for volts where there should be none, or more than any supply has.
   */
  readonly verdict: LimitVerdict;
}

/** For each reading, in the file's order: expected when sound, shown, verdict. */
export function stepReadings(file: ReadingsFile): SteppedReading[] {
  const expected = predict(file.circuit, file.meter, [], file.readings);
  const evidence = new Evidence(file.circuit, file.meter, file.readings);
  const best = rankSuspects(evidence).hypotheses[0]!.faults;
  const explained = predict(file.circuit, file.meter, best, file.readings);
  return file.readings.map((reading, i) => {
    const shown = explained[i]!;
    const ghost = shown.kind === 'volts' && shown.floating;
    return {
      test: reading,
      expected: predictionText(expected[i]!),
      shown: shownText(reading),
      verdict: verdictOf(file, reading, expected[i]!, ghost),
    };
  });
}

/** `ghost`: by what explains the readings best, the point floats. */
function verdictOf(file: ReadingsFile, reading: Reading, expected: Prediction, ghost: boolean): LimitVerdict {
  if ('answer' in reading) {
    return expected.kind !== 'answer' || expected.answer === null
      ? 'unproven'
      : reading.answer === expected.answer
        ? 'pass'
        : 'fail';
  }
  if ('lamps' in reading) {
    const same = expected.kind === 'lamps' && lampsText(expected.lamps) === lampsText(reading.lamps);
    return same ? 'unproven' : 'fail';
  }
  const read = measured(reading, file.meter);
  if (expected.kind === 'ohms') {
    return expected.ohms === null
      ? judgeApart(read, betweenPoles(file, reading))
      : judgeAgainstLimit({ ...read, ...throughLimits(reading, expected.ohms) });
  }
  if (expected.kind !== 'volts') return 'unproven';
  if (isOverVolts(file.circuit, read)) return 'fail';
  const limits = voltsLimits(file, reading, expected.volts);
  const verdict = judgeAgainstLimit({ ...read, ...limits });
  return ghost && (verdict === 'pass' || limits.lower !== undefined) ? 'unproven' : verdict;
}

/** Between hot and neutral of a van with a ground-fault device, whose electronics may lie there. */
function betweenPoles({ circuit }: ReadingsFile, reading: Reading): boolean {
  if (firstGroundFaultDevice(circuit) === 0) return false;
  const ends = endsOf(reading);
  return ends.some((p) => p.endsWith('.hot')) && ends.some((p) => p.endsWith('.neutral')) && !isOfCord(ends);
}

function isOfCord(ends: readonly string[]): boolean {
  return ends.map(placeOf).some((place) => place === 'plug' || place === 'connector');
}

/** What the rules ask of a way that is through; where they leave it to another reading, what a sound circuit shows and a ground’s 1 Ω. */
function throughLimits(reading: Reading, expectedOhms: number): Limits {
  const ends = endsOf(reading);
  if (isOfCord(ends)) return deadLimits.through;
  if (ends.includes('chassis')) return deadLimits.bond;
  if (ends.every((p) => p.endsWith('.ground'))) return deadLimits.groundPath;
  return { upper: expectedOhms + deadLimits.groundPath.upper };
}

function voltsLimits({ circuit }: ReadingsFile, reading: Reading, expectedVolts: number): Limits {
  const live = liveLimits(circuit);
  if (reading.test === 'loaded-voltage') return live.loaded;
  if (expectedVolts > circuit.supply.volts / 2) return live.slot;
  return endsOf(reading).includes('earth') ? live.chassisToEarth : live.neutralGround;
}

function endsOf(reading: Reading): readonly string[] {
  return 'from' in reading ? [reading.from, reading.to] : [];
}

/** What a prediction comes to on the meter, in words. */
export function predictionText(p: Prediction): string {
  if (p.kind === 'ohms') return p.ohms === null ? 'OL' : roughOhms(p.ohms);
  if (p.kind === 'volts') return p.floating ? 'floating' : voltsText(p.volts);
  if (p.kind === 'lamps') return lampsText(p.lamps);
  return p.answer === null ? 'cannot be said' : p.answer ? 'yes' : 'no';
}

function shownText(reading: Reading): string {
  if ('ohms' in reading) return reading.ohms === null ? 'OL' : roughOhms(reading.ohms);
  if ('volts' in reading) return voltsText(reading.volts);
  return 'lamps' in reading ? lampsText(reading.lamps) : reading.answer ? 'yes' : 'no';
}

function voltsText(volts: number): string {
  return `${volts.toFixed(1)} V`;
}

function lampsText(lamps: Lamps): string {
  const lit = [
    lamps.hotNeutral ? 'hot–neutral' : '',
    lamps.hotGround ? 'hot–ground' : '',
    lamps.neutralGround ? 'neutral–ground' : '',
  ].filter((t) => t !== '');
  return lit.length === 0 ? 'no lamp' : `lamps ${lit.join(' and ')}`;
}
