import type { Result } from '../errors.js';
import type { NewEntry } from '../logbook/entry.js';
import { type Assessment, readingsOf } from './assessment.js';
import { judgesOwnWork, refuse, type WithJob } from './proposal.js';
import { parseSubject } from './subject.js';

type Concession = Extract<NewEntry, { kind: 'concession granted' }>;

const never = 'No concession covers this: it is mended, or the job is closed unfinished.';

/** A concession covers what may be conceded, names its reason, and comes from another person where there is one. */
export function acceptConcession(proposal: WithJob<Concession>): Result<NewEntry[]> {
  const { entry, job, log, sealed } = proposal;
  if (judgesOwnWork(log, entry.kind, proposal))
    return refuse('person', 'A concession is granted by another person than the fitter of this job.');
  const problem = sealed ? undefined : whyNot(entry.subject, job);
  return problem === undefined ? { ok: true, value: [entry] } : refuse('subject', problem);
}

function whyNot(subjectText: string, job: Assessment): string | undefined {
  const subject = parseSubject(subjectText);
  if (subject?.of === 'sheet') {
    const standing = job.sheet.find((s) => s.line.id === subject.id);
    if (standing === undefined) return 'The sheet has no such line.';
    if (standing.met) return 'This line needs no concession.';
    return standing.line.concession === 'never' ? never : undefined;
  }
  if (subject?.of === 'step') {
    const standing = job.steps.get(subject.id);
    if (standing === undefined) return 'This circuit has no such step.';
    if (standing.status === 'done') return 'This step is done: it needs no concession.';
    if (standing.step.concession === 'never') return never;
    const failed = readingsOf(standing.step, job).some(
      ({ planned, verdict }) => planned.required && verdict !== 'pass' && planned.concession === 'never',
    );
    return failed ? never : undefined;
  }
  if (subject?.of === 'reading') {
    const standing = job.readings.get(subject.id);
    if (standing === undefined) return 'This circuit has no such reading.';
    if (standing.planned.concession === 'never') return never;
    if (standing.verdict !== 'unproven')
      return 'Only a reading that was taken and is unproven can be conceded: a failed one is mended.';
    return undefined;
  }
  return 'Say what the concession is for: a line of the sheet, a step or a reading.';
}
