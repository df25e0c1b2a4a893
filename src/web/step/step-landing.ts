import type { Answer, Entry } from '../../logbook/entry.js';
import type { StepStanding } from '../../steps/assessment.js';
import type { Step } from '../../steps/step.js';
import type { WorkAt } from '../job/job-at.js';
import { nextStepPath } from '../job/next-step-path.js';
import type { SaidLink } from '../session/said-once.js';
import { jobPath } from '../words/job-words.js';

/** Where a person goes after what they wrote down, and the one line that is said there of it. */
export interface Landing {
  readonly path: string;
  readonly said?: string;
  readonly link?: SaidLink;
}

/** After a step: to the first defect that it raised, back to what it still waits for, or on to what is next. */
export function afterStep(
  { number, job }: WorkAt,
  { step, status }: StepStanding,
  written: readonly Entry[],
  answers: Readonly<Record<string, Answer>>,
): Landing {
  const own = jobPath(number, 'steps', step.id);
  const raised = written.filter((e) => e.kind === 'defect raised');
  if (raised[0] !== undefined)
    return {
      path: jobPath(number, 'defects', raised[0].seq),
      said:
        raised.length === 1
          ? 'Written down, and off its limit: a defect is raised.'
          : `Written down, and ${raised.length} values are off their limit: one mend may answer them all.`,
    };
  if (status !== 'done')
    return { path: own, said: 'Written down. What this step still waits for stands below.' };
  return {
    path: nextStepPath(number, job),
    said: takenLine(step, answers),
    link: { href: own, label: `See ${step.number} or put it right` },
  };
}

/** What was taken of a step, in one line: "T6 is written down: Torque 14 in-lbf, 13 ticks, 1 photo." */
function takenLine(step: Step, answers: Readonly<Record<string, Answer>>): string {
  const given = Object.entries(answers);
  const values = given.flatMap(([id, a]) => {
    if (a.kind !== 'value') return [];
    const label = step.asks.find((ask) => ask.id === id)?.label ?? id;
    return [`${label} ${`${a.typed} ${a.unit}`.trim()}`];
  });
  const count = (kind: Answer['kind'], word: string) => {
    const n = given.filter(([, a]) => a.kind === kind).length;
    return n === 0 ? [] : [`${n} ${n === 1 ? word : `${word}s`}`];
  };
  const photos = given.reduce((sum, [, a]) => sum + (a.kind === 'photo' ? a.photos.length : 0), 0);
  const parts = [
    ...(values.length > 2 ? [`${values.length} values`] : values),
    ...count('choice', 'choice'),
    ...count('tick', 'tick'),
    ...count('person', 'name'),
    ...count('note', 'note'),
    ...(photos === 0 ? [] : [`${photos} ${photos === 1 ? 'photo' : 'photos'}`]),
  ];
  return `${step.number} is written down: ${parts.join(', ')}.`;
}
