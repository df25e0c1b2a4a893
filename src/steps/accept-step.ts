import type { Issue, Result } from '../errors.js';
import type { EntryBody, NewEntry } from '../logbook/entry.js';
import { instrumentsNamed } from '../logbook/instrument-snapshot.js';
import type { JobLog } from '../logbook/job-log.js';
import { answerIssues, offLimits } from './answer-issues.js';
import { isBarred } from './assessment.js';
import { refuse, type WithJob } from './proposal.js';
import type { Step } from './step.js';
import { parseSubject } from './subject.js';

type StepDone = Extract<NewEntry, { kind: 'step done' }>;
type StepReopened = Extract<NewEntry, { kind: 'step reopened' }>;

/** A step may be done when nothing bars it and every thing it asks is answered. A value outside its limit raises a defect. */
export function acceptStepDone({ entry, job, log, by, sealed }: WithJob<StepDone>): Result<NewEntry[]> {
  const structure = [...strangerIssues(entry.body), ...photoIssues(entry.body, log)];
  if (sealed) return structure.length > 0 ? { ok: false, issues: structure } : { ok: true, value: [entry] };
  const subject = parseSubject(entry.subject);
  const standing = subject?.of === 'step' ? job.steps.get(subject.id) : undefined;
  if (standing === undefined) return refuse('step', 'This circuit has no such step.');
  const { step } = standing;
  if (step.asks.length === 0)
    return refuse('step', 'This step asks nothing: it is done when its readings and lines are.');
  if (isBarred(standing))
    return { ok: false, issues: standing.because.map(({ text: message }) => ({ field: 'step', message })) };
  const issues = [...structure, ...unasked(step, entry.body), ...answerIssues(step, entry.body, by.name)];
  if (issues.length > 0) return { ok: false, issues };
  const raised: NewEntry[] = offLimits(step, entry.body).map((what) => ({
    kind: 'defect raised',
    subject: entry.subject,
    body: { what, suspects: [] },
  }));
  return { ok: true, value: [entry, ...raised] };
}

function unasked(step: Step, { answers }: EntryBody<'step done'>): Issue[] {
  return Object.keys(answers)
    .filter((id) => !step.asks.some((a) => a.id === id))
    .map((field) => ({ field, message: 'is not asked by this step' }));
}

function strangerIssues({ answers, instruments }: EntryBody<'step done'>): Issue[] {
  const named = instrumentsNamed(answers);
  const stranger = instruments?.find((i) => !named.includes(i.id));
  return stranger ? [{ field: 'instrument', message: `no value was measured with ${stranger.name}` }] : [];
}

function photoIssues({ answers }: EntryBody<'step done'>, { photos }: JobLog): Issue[] {
  return Object.entries(answers).flatMap(([field, answer]) => {
    const named = answer.kind === 'photo' ? answer.photos : [];
    return named.every((id) => photos.some((p) => p.body.photo === id))
      ? []
      : [{ field, message: 'names a photo that this job does not have' }];
  });
}

/** A done step can be opened again, with its reason. */
export function acceptReopened({ entry, log }: WithJob<StepReopened>): Result<NewEntry[]> {
  const last = log.steps.get(entry.subject)?.at(-1);
  return last?.kind === 'step done'
    ? { ok: true, value: [entry] }
    : refuse('step', 'This step is not done: there is nothing to open again.');
}
