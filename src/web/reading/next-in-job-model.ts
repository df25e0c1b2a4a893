import type { Answer } from '../../faults/diagnose.js';
import type { Test } from '../../meter/readings-file.js';
import type { Assessment } from '../../steps/assessment.js';
import { nextInJob } from '../../steps/suspects.js';
import { cautionsOf } from '../step/step-model.js';
import { jobPath } from '../words/job-words.js';
import { testWords } from '../words/test-words.js';

/**
 * The reading that parts the suspects best, as the pages of a job offer it: one tap where the job has it, else in words, with
 * what it would show and a link to the page that takes it beside the job's readings.
 */
export function nextInJobModel(number: string, job: Assessment, answer: Answer, except?: string) {
  const next = nextInJob(job, answer);
  if (next === undefined || (next.planned !== undefined && next.planned.id === except)) return undefined;
  const { planned, test } = next;
  const wouldShow = next.wouldShow.map(({ value, suspects }) => ({
    value,
    suspects: suspects.join('; or '),
  }));
  return planned === undefined
    ? {
        title: testWords(test),
        expected: '',
        href: tryPath(number, test),
        planned: false,
        wouldShow,
        state: stateWords(test),
        cautions:
          test.test === 'resistance' ? undefined : cautionsOf(['mains-kills', 'live-hands'], { live: true }),
      }
    : {
        title: `${planned.code} ${planned.title}`,
        expected: planned.expected.text,
        href: jobPath(number, 'readings', planned.id),
        planned: true,
        wouldShow,
        state: '',
        cautions: undefined,
      };
}

/** How the van stands while the test is taken. */
function stateWords(test: Test): string {
  if (test.test === 'resistance') return 'Cord unplugged and away, every load out, proved dead first.';
  if (test.test === 'loaded-voltage' || 'amps' in test)
    return `Live, with a load of about ${test.amps} A plugged in there. Not on the low-impedance range.`;
  if ('from' in test && [test.from, test.to].every((p) => p.startsWith('supply') || p === 'earth'))
    return 'Live, at the supply’s own slots, with nothing plugged in. Not on the low-impedance range.';
  return 'Live: cord in, the device reset, every load off. Not on the low-impedance range.';
}

/** The page *Readings without a job* with the job's readings in it and a row for the test. */
function tryPath(number: string, test: Test): string {
  const query = new URLSearchParams({ job: number });
  for (const [name, value] of Object.entries(test)) if (name !== 'inputOhms') query.set(name, String(value));
  return `/readings-without-a-job?${query}`;
}
