export type LimitVerdict = 'pass' | 'fail' | 'unproven';

/** A shown value against a limit, all in one unit; a null value is the meter's over-limit. */
export interface Judgement {
  readonly value: number | null;
  /** The meter's error at that value, one side. */
  readonly uncertainty: number;
  readonly upper?: number | undefined;
  readonly lower?: number | undefined;
  /** Where the range used ends; over-limit says only "more than this". Taken as beyond every limit when absent. */
  readonly overLimitAt?: number | undefined;
}

/**
 * Judges a reading with the meter's error counted against it: a limit is met only if the whole interval value ± U meets it,
 * broken only if the whole interval breaks it, else unproven. Over-limit counts only on a range that reaches the limit.
 * @source ISO 14253-1 and JCGM 106 (guarded acceptance and guarded rejection)
 */
export function judgeAgainstLimit(reading: Judgement): LimitVerdict {
  const { value, upper, lower, uncertainty: u } = reading;
  const end = reading.overLimitAt ?? Number.POSITIVE_INFINITY;
  const low = value === null ? end : value - u;
  const high = value === null ? Number.POSITIVE_INFINITY : value + u;
  const answers: LimitVerdict[] = [];
  if (upper !== undefined)
    answers.push(
      high <= upper ? 'pass' : low > upper || (value === null && end >= upper) ? 'fail' : 'unproven',
    );
  if (lower !== undefined) answers.push(low >= lower ? 'pass' : high < lower ? 'fail' : 'unproven');
  if (answers.includes('fail')) return 'fail';
  return answers.length === 0 || answers.includes('unproven') ? 'unproven' : 'pass';
}
