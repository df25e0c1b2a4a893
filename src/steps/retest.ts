/**
 * What is done again before anything is tested again, whatever was landed anew, by a mend or by a change of the circuit: the proof that
 * it is dead, the count of clips, the readiness for power and the repeat with the trim on.
 */
export const retest = [
  'absence-of-voltage',
  'everything-off',
  'ready-for-live',
  'trim-on-repeat',
  'trim-on-test',
] as const;
