import { placeWords } from '../circuit/place-words.js';
import { capital } from '../circuit/quantity-text.js';
import type { Plan } from './plan-of.js';
import { parseSubject } from './subject.js';

/** What an entry is about, by its printed number and title where the plan has it. */
export function subjectWords(subjectText: string, plan: Plan | undefined): string {
  const subject = parseSubject(subjectText);
  if (subject === undefined || subject.of === 'job') return 'the job';
  if (subject.of === 'step') {
    const step = plan?.steps.find((s) => s.id === subject.id);
    return step ? `${step.number} ${step.title}` : `step ${subject.id}`;
  }
  if (subject.of === 'reading') {
    const reading = plan?.readings.find((r) => r.id === subject.id);
    return reading ? `${reading.code} ${reading.title}` : `reading ${subject.id}`;
  }
  if (subject.of === 'sheet') return plan?.sheet.find((l) => l.id === subject.id)?.title ?? subject.id;
  return plan ? placeWords(plan.circuit, subject.id) : subject.id;
}

/** What was seen of a defect, below a heading that says already where: a defect that a reading raised begins with the reading's title. */
export function seenBelow(heading: string, what: string): string {
  const [before = '', ...seen] = what.split(`${heading}: `);
  const number = before.trimEnd();
  return seen.length === 0 || number.includes(' ') ? what : capital(seen.join(`${heading}: `));
}
