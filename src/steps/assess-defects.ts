import { placeWords } from '../circuit/place-words.js';
import type { JobLog } from '../logbook/job-log.js';
import { readingMet } from './assess-readings.js';
import { type DefectStanding, type ReadingStanding, readingsOf } from './assessment.js';
import type { Plan } from './plan-of.js';
import { parseSubject, type Subject } from './subject.js';

/**
 * Where every defect stands. One raised by a reading closes when it was reworked and the reading passed after that (or was noted, where
 * no limit judges it), or when the reading that raised it was struck as a slip; one raised by a step when the step was done again after the
 * rework, or where it asks nothing, its readings were taken again; one about a place with its rework.
 */
export function standingDefects(
  log: JobLog,
  plan: Plan,
  readings: ReadonlyMap<string, ReadingStanding>,
): DefectStanding[] {
  return log.defects.map((defect) => {
    const subject = parseSubject(defect.subject);
    const rework = log.reworks.findLast((r) => r.body.defect === defect.seq);
    const title = titleOf(defect.subject, plan);
    if (defect.body.reading !== undefined && log.struck.has(defect.body.reading)) {
      return { defect, status: 'closed', title, ...(rework ? { rework } : {}) };
    }
    if (rework === undefined) return { defect, status: 'open', title };
    const closed = subject === undefined ? true : testedAgain(log, subject, readings, rework.seq, plan);
    return { defect, rework, title, status: closed ? 'closed' : 'reworked, to be tested again' };
  });
}

function testedAgain(
  log: JobLog,
  subject: Subject,
  readings: ReadonlyMap<string, ReadingStanding>,
  rework: number,
  plan: Plan,
): boolean {
  if (subject.of === 'reading') {
    const reading = readings.get(subject.id);
    // The circuit no longer calls for this reading: what it tested is gone, and the rework says how.
    if (reading === undefined) return true;
    // Lamps prove nothing, so the best that they are is noted: the right pattern then answers the wrong one.
    const right = reading.verdict === 'pass' || reading.verdict === 'noted';
    return right && (reading.taken?.seq ?? 0) > rework;
  }
  if (subject.of === 'step') {
    const step = plan.steps.find((s) => s.id === subject.id);
    if (step === undefined) return true;
    // Nobody writes down a step that asks nothing: what it has is read again.
    if (step.asks.length === 0)
      return readingsOf(step, { readings }).every(
        (r) => !r.planned.required || (readingMet(r) && (r.taken?.seq ?? 0) > rework),
      );
    const last = log.steps.get(`step:${subject.id}`)?.at(-1);
    return last?.kind === 'step done' && last.seq > rework;
  }
  return true;
}

function titleOf(subjectText: string, plan: Plan): string {
  const subject = parseSubject(subjectText);
  if (subject?.of === 'reading') return plan.readings.find((r) => r.id === subject.id)?.title ?? subject.id;
  if (subject?.of === 'step') return plan.steps.find((s) => s.id === subject.id)?.title ?? subject.id;
  return subject?.of === 'place' ? placeWords(plan.circuit, subject.id) : 'the job';
}
