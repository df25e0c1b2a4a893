import { expect, test } from 'vitest';
import { foldJob } from '../../src/logbook/job-log.js';
import { othersAtWork } from '../../src/steps/others-at-work.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { played } from './played.js';

const done = played(demoCircuit(), { until: (job) => job.next?.step.id === 'bond-path' });

test('whoever took a job over, or had it before, is named beside the fitter of the job, and nobody twice', () => {
  expect(othersAtWork(foldJob(done))).toEqual([]);
  const last = done.findLastIndex((e) => e.kind === 'reading taken');
  const by = (name: string, at: number) =>
    done.map((e, k) => (k >= at ? { ...e, by: { id: 'p-per', name } } : e));
  expect(othersAtWork(foldJob(by('Per Lund', last)))).toEqual(['Per Lund']);
  // Under another name it is the same person, and so is the fitter of the job.
  const renamed = by('Per Lund', last - 1).map((e, k) =>
    k > last ? { ...e, by: { ...e.by, name: 'Per L.' } } : e,
  );
  expect(othersAtWork(foldJob(renamed))).toEqual(['Per L.']);
  const first = done.find((e) => e.kind === 'step done')!.by;
  const named = done.map((e, k) => (k > last ? { ...e, by: { ...first, name: 'I. O.' } } : e));
  expect(othersAtWork(foldJob(named))).toEqual([]);
});
