import { firstGroundFaultDevice } from '../meter/electrical-circuit.js';
import { judgeAgainstLimit, type LimitVerdict } from '../meter/judge.js';
import { placeOf } from '../meter/point.js';
import { type Prediction, predict } from '../meter/predict.js';
import type { Lamps, Reading, ReadingsFile } from '../meter/readings-file.js';
import { uncertainty } from '../meter/uncertainty.js';
import { readingLimits } from '../trade/reading-limits.js';
import { isOverVolts } from './as-met.js';
import { Evidence } from './evidence.js';
import { roughOhms } from './fault.js';
import { rankSuspects } from './suspects.js';

/** One reading beside what a sound circuit would show. */
export interface SteppedReading {
  readonly test: Reading;
  readonly expected: string;
  readonly shown: string;
  /**
   * Against the rule’s figure, or, where the rules have none for it, against the expected value. A ghost proves nothing right, and
   * nothing wrong but for volts where there should be none.
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
    const ghost = explained[i]!.kind === 'volts' && (explained[i] as { floating: boolean }).floating;
    const verdict = verdictOf(file, reading, expected[i]!);
    const wrong = verdict === 'fail' && limitOf(file, reading, expected[i]!).lower === undefined;
    return {
      test: reading,
      expected: predictionText(expected[i]!),
      shown: shownText(reading),
      verdict: ghost && !wrong ? 'unproven' : verdict,
    };
  });
}

function verdictOf(file: ReadingsFile, reading: Reading, expected: Prediction): LimitVerdict {
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
  const value = 'ohms' in reading ? reading.ohms : reading.volts;
  const u = value === null ? 0 : uncertainty(file.meter, { test: reading.test, value });
  if ('volts' in reading && isOverVolts(file.circuit, { value, uncertainty: u, reading })) return 'fail';
  const against = (limit: Limits) =>
    judgeAgainstLimit({ value, uncertainty: u, ...limit, overLimitAt: file.meter.ohms.overLimit });
  const verdict = against(limitOf(file, reading, expected));
  const soft = verdict === 'fail' && betweenPoles(file, reading);
  return soft && against({ lower: readingLimits.isolationWithElectronics.value }) !== 'fail'
    ? 'unproven'
    : verdict;
}

/** Between hot and neutral of a van with a ground-fault device, whose electronics may lie there. */
function betweenPoles({ circuit }: ReadingsFile, reading: Reading): boolean {
  if (reading.test !== 'resistance' || firstGroundFaultDevice(circuit) === 0) return false;
  const ends = [reading.from, reading.to];
  return ends.some((p) => p.endsWith('.hot')) && ends.some((p) => p.endsWith('.neutral')) && !isOfCord(ends);
}

function isOfCord(ends: readonly string[]): boolean {
  return ends.map(placeOf).some((place) => place === 'plug' || place === 'connector');
}

interface Limits {
  readonly upper?: number;
  readonly lower?: number;
}

function limitOf(file: ReadingsFile, reading: Reading, expected: Prediction): Limits {
  const ends = 'from' in reading ? [reading.from, reading.to] : [];
  if (expected.kind === 'ohms') {
    if (expected.ohms === null) return { lower: readingLimits.isolation.value };
    if (isOfCord(ends)) return { upper: readingLimits.through.value };
    const grounds = ends.every((p) => p === 'chassis' || p.endsWith('.ground'));
    return { upper: (grounds ? 0 : expected.ohms) + readingLimits.groundPath.value };
  }
  if (expected.kind !== 'volts') return {};
  const { volts } = file.circuit.supply;
  if (reading.test === 'loaded-voltage') return { lower: volts * (1 - readingLimits.drop.value / 100) };
  if (expected.volts > volts / 2) return { lower: volts * readingLimits.slotShareOfSupply.value };
  return {
    upper: (ends.includes('earth') ? readingLimits.chassisToEarth : readingLimits.neutralGround).value,
  };
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
