import type { EntryKind } from '../logbook/entry.js';
import { readingMet } from './assess-readings.js';
import { issueStepId } from './assess-steps.js';
import type { Assessment } from './assessment.js';

/** Entries after which a second look has to be given again: they change what it looked at. */
export const changesTheWork: ReadonlySet<EntryKind> = new Set<EntryKind>([
  'circuit set',
  'step done',
  'step reopened',
  'reading taken',
  'reading struck',
  'defect raised',
  'defect reworked',
  'concession granted',
  'job described',
  'instrument questioned',
]);

/** What bars the issue of the record, in words a fitter can act on; empty when it may be issued. */
export function issueBars(job: Omit<Assessment, 'barsIssue'>): string[] {
  return [...workBars(job), ...secondLookBars(job)];
}

/** The bars that the work itself raises; a second look may be signed when there are none. */
export function workBars(job: Omit<Assessment, 'barsIssue'>): string[] {
  const lines = job.sheet.filter((s) => !s.met).map((s) => `Sheet: ${s.line.title} does not meet its limit.`);
  const steps = [...job.steps.values()]
    .filter((s) => s.status !== 'done' && s.step.conditional === undefined && !isAtIssue(s.step.id, job))
    .map((s) => `${s.step.number} ${s.step.title} is not done.`);
  const readings = [...job.readings.values()]
    .filter((r) => (r.planned.required ? !readingMet(r) : r.verdict === 'fail'))
    .map((r) => `${r.planned.code} ${r.planned.title} is ${r.verdict}.`);
  const defects = job.defects
    .filter((d) => d.status !== 'closed')
    .map((d) => `Defect of entry ${d.defect.seq} (${d.title}) is ${d.status}.`);
  const standing = job.log.standing === 'open' ? [] : [`The job is ${job.log.standing}.`];
  return [...standing, ...defects, ...lines, ...steps, ...readings];
}

/** The step of the issue itself, and what waits for nothing but it, cannot be done before it. */
function isAtIssue(id: string, job: Omit<Assessment, 'barsIssue'>): boolean {
  return id === issueStepId || job.steps.get(id)?.step.waitsFor.includes(issueStepId) === true;
}

function secondLookBars(job: Omit<Assessment, 'barsIssue'>): string[] {
  const described = job.log.described;
  if (described === undefined || described.checker === '' || described.checker === described.fitter)
    return [];
  const look = job.log.secondLooks.at(-1);
  if (look === undefined) return [`${described.checker} has not signed the second look.`];
  // An entry's number is its place: what is before the look need not be gone through.
  const later = job.log.entries.slice(look.seq).find((e) => changesTheWork.has(e.kind));
  return later === undefined
    ? []
    : [`${described.checker} signed the second look before entry ${later.seq}: it must be given again.`];
}
