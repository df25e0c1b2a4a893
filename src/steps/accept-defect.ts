import type { Result } from '../errors.js';
import type { NewEntry } from '../logbook/entry.js';
import { refuse, type WithJob } from './proposal.js';
import { parseSubject } from './subject.js';

type DefectRaised = Extract<NewEntry, { kind: 'defect raised' }>;
type DefectReworked = Extract<NewEntry, { kind: 'defect reworked' }>;

const longestSubject = 120;

/** A person may raise a defect on anything they see: a reading, a step, or a place. */
export function acceptDefect({ entry, job, sealed }: WithJob<DefectRaised>): Result<NewEntry[]> {
  const subject = parseSubject(entry.subject);
  if (subject === undefined)
    return refuse('subject', 'Say what the defect is about: a step, a reading or a place.');
  if (sealed) return { ok: true, value: [entry] };
  if (subject.of === 'step' && !job.steps.has(subject.id))
    return refuse('subject', 'This circuit has no such step.');
  if (subject.of === 'reading' && !job.readings.has(subject.id))
    return refuse('subject', 'This circuit has no such reading.');
  if (subject.of === 'sheet' && !job.sheet.some((s) => s.line.id === subject.id))
    return refuse('subject', 'The sheet has no such line.');
  if (entry.subject.length > longestSubject)
    return refuse('subject', `The place takes at most ${longestSubject - 'place:'.length} characters.`);
  return { ok: true, value: [entry] };
}

/** A rework says what was found, what was done, and what it disturbed: that is tested again. */
export function acceptRework({ entry, job, sealed }: WithJob<DefectReworked>): Result<NewEntry[]> {
  const standing = job.defects.find((d) => d.defect.seq === entry.body.defect);
  if (standing === undefined) return refuse('defect', 'There is no defect with this entry number.');
  if (!sealed && standing.status === 'closed') return refuse('defect', 'This defect is closed already.');
  if (standing.defect.subject !== entry.subject)
    return refuse('defect', 'That defect is about something else.');
  const stranger = entry.body.disturbs.find(
    (d) => d.outlet !== undefined && !job.circuit.run.some((o) => o.id === d.outlet),
  );
  if (stranger !== undefined) return refuse('disturbs', 'names an outlet that this circuit does not have');
  const nameless = entry.body.disturbs.some((d) => d.what === 'conductor-relanded' && d.outlet === undefined);
  if (nameless) return refuse('disturbs', 'say at which outlet the conductor was landed again');
  return { ok: true, value: [entry] };
}
