import type { Test } from '../../meter/readings-file.js';
import type { PlannedReading } from '../step.js';

type Value = PlannedReading['expected']['value'];
export type Judging = Pick<PlannedReading, 'limit' | 'look'>;

/** A reading before the engine has said what a sound circuit shows. */
export interface ReadingDraft extends Omit<PlannedReading, 'expected' | 'limit' | 'look'> {
  /** What the engine is asked; absent where it has no word for the reading. */
  readonly asked?: Test;
  /** What is expected where the engine is not asked. */
  readonly expects?: Value;
  /** The expected value in words, where the figure alone would mislead. */
  readonly expectsText?: string;
  /** Limit and look-again line from the expected value. */
  readonly judging: (expected: Value) => Judging;
}

type Needed = Pick<
  ReadingDraft,
  'id' | 'code' | 'step' | 'stage' | 'title' | 'test' | 'rule' | 'source' | 'judging' | 'disturbedBy'
>;

/** A reading with what was left out filled in: required, never conceded, on the instrument that its test needs. */
export function readingDraft(given: Needed & Partial<ReadingDraft>): ReadingDraft {
  return {
    required: true,
    concession: 'never',
    instrument: given.test === 'observation' ? undefined : given.test === 'resistance' ? 'ohms' : 'volts',
    lowImpedance: 'allowed',
    cautions: [],
    mistakes: [],
    parts: [],
    basis: {},
    ...given,
  };
}

/** For whoever probes what is live. */
export const liveCautions = ['mains-kills', 'live-hands'] as const;

/** Between two points: what the engine is asked and what the page names are the same. */
export function between(
  test: 'resistance' | 'voltage',
  from: string,
  to: string,
): Pick<ReadingDraft, 'test' | 'from' | 'to' | 'asked'> {
  return { test, from, to, asked: { test, from, to } };
}

/** No more than `upper`; looked at again where it is more than the expected value and `above`. */
export function atMost(
  upper: number,
  unit: 'Ω' | 'V',
  look?: { above: number; text: string },
): ReadingDraft['judging'] {
  return (expected) => ({
    limit: { upper, text: `no more than ${upper} ${unit}` },
    ...(look ? { look: { over: lineOver(expected, look.above), text: look.text } } : {}),
  });
}

/** No less than `lower`; an OL meets it on a range that reaches so far. */
export function atLeast(lower: number, text: string): ReadingDraft['judging'] {
  return () => ({ limit: { lower, text } });
}

/** The one answer that passes. */
export function answers(answer: boolean): ReadingDraft['judging'] {
  return () => ({ limit: { answer, text: answer ? 'yes' : 'no' } });
}

/** A look-again line: the expected value and `above`, to a hundredth. */
export function lineOver(expected: Value, above: number): number {
  return Number(((typeof expected === 'number' ? expected : 0) + above).toFixed(2));
}
