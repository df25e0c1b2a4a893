import { judgeAgainstLimit, type LimitVerdict } from '../meter/judge.js';
import { type Prediction, predict } from '../meter/predict.js';
import type { Lamps, Reading, ReadingsFile } from '../meter/readings-file.js';
import { uncertainty } from '../meter/uncertainty.js';
import { readingLimits } from '../trade/reading-limits.js';
import { Evidence } from './evidence.js';
import { roughOhms } from './fault.js';
import { rankSuspects } from './suspects.js';

/** One reading beside what a sound circuit would show. */
export interface SteppedReading {
  readonly test: Reading;
  readonly expected: string;
  readonly shown: string;
  /** Against the rule’s figure, or, where the rules have none for it, against the expected value. A ghost is unproven. */
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
    return {
      test: reading,
      expected: predictionText(expected[i]!),
      shown: shownText(reading),
      verdict: ghost ? 'unproven' : verdictOf(file, reading, expected[i]!),
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
  const limit = limitOf(file, reading, expected);
  return judgeAgainstLimit({ value, uncertainty: u, ...limit, overLimitAt: file.meter.ohms.overLimit });
}

function limitOf(
  file: ReadingsFile,
  reading: Reading,
  expected: Prediction,
): { upper?: number; lower?: number } {
  if (expected.kind === 'ohms') {
    if (expected.ohms === null) return { lower: readingLimits.isolation.value };
    return { upper: expected.ohms + readingLimits.groundPath.value };
  }
  if (expected.kind !== 'volts') return {};
  const { volts } = file.circuit.supply;
  if (reading.test === 'loaded-voltage') return { lower: volts * (1 - readingLimits.drop.value / 100) };
  if (expected.volts > volts / 2) return { lower: volts * readingLimits.slotShareOfSupply.value };
  const toEarth = 'from' in reading && [reading.from, reading.to].includes('earth');
  return { upper: (toEarth ? readingLimits.chassisToEarth : readingLimits.neutralGround).value };
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
