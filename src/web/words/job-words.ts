import type { Entry, EntryOf } from '../../logbook/entry.js';
import type { JobLog } from '../../logbook/job-log.js';
import type { StepStanding } from '../../steps/assessment.js';
import type { Since } from '../../steps/since-record.js';

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A time of the logbook for reading: "25 Nov 2026, 10:12 UTC". */
export function whenText(at: string): string {
  return `${dayText(at)}, ${at.slice(11, 16)} UTC`;
}

/** When an entry was written: for a form that waited on a phone, when it was filled in, and when it arrived. */
export function writtenText({ at, filledIn }: Pick<Entry, 'at' | 'filledIn'>): string {
  return filledIn === undefined ? whenText(at) : `filled in ${whenText(filledIn)}, arrived ${whenText(at)}`;
}

/** A day for reading: "25 Nov 2026". */
export function dayText(at: string): string {
  const [year = '', month = '', day = ''] = at.slice(0, 10).split('-');
  return `${Number(day)} ${months[Number(month) - 1] ?? month} ${year}`;
}

/** "Closed by Ines Okafor, 2 Dec 2026, 10:12 UTC: the owner took the van away."; undefined while a job is open. */
export function apartText({ entries, standing }: JobLog): string | undefined {
  const last = entries.findLast(
    (e): e is EntryOf<'job set aside'> | EntryOf<'job closed'> =>
      e.kind === 'job set aside' || e.kind === 'job closed',
  );
  if (standing === 'open' || last === undefined) return undefined;
  const word = standing === 'closed' ? 'Closed' : 'Set aside';
  return `${word} by ${last.by.name}, ${whenText(last.at)}: ${last.body.reason}`;
}

/** What came after a record, as a line: "25 Nov 2026: …". */
export function sinceLine({ at, text }: Since): string {
  return `${dayText(at)}: ${text}`;
}

export interface Standing {
  /** Names the look of the word; the word itself says everything. */
  readonly look: 'done' | 'ready' | 'waiting' | 'held' | 'open';
  readonly word: string;
}

/** Where a step stands, in a word or two with the step that bars it. */
export function standingOf(standing: StepStanding, next: boolean): Standing {
  if (standing.status === 'done')
    return { look: 'done', word: standing.concession === undefined ? 'done' : 'conceded' };
  const before = standing.because.map(({ step }) => step.number);
  const more = before.length > 1 ? ` and ${before.length - 1} more` : '';
  if (standing.status === 'held') return { look: 'held', word: `held by ${before[0]}${more}` };
  if (standing.status === 'waiting') return { look: 'waiting', word: `waits for ${before[0]}${more}` };
  if (standing.reopened.length > 0) return { look: 'open', word: 'open again' };
  if (next) return { look: 'ready', word: 'next' };
  return standing.step.conditional === undefined
    ? { look: 'ready', word: 'can be done now' }
    : { look: 'waiting', word: 'only where it applies' };
}

/** How likely a suspect is beside the first of its list, in words: the figure is the machine's, not the fitter's. */
export function likelihoodWords(probabilities: readonly number[]): string[] {
  const first = Math.max(...probabilities, 0);
  return probabilities.map((p, k) => {
    if (k === 0 || p >= first * 0.999)
      return probabilities.filter((q) => q >= first * 0.999).length > 1 ? 'as likely' : 'most likely';
    return p >= first / 2 ? 'nearly as likely' : p >= first / 10 ? 'less likely' : 'unlikely, not ruled out';
  });
}

/** An address inside a job: every part of it made safe to stand in a link. */
export function jobPath(number: string, ...rest: readonly (string | number)[]): string {
  return ['/jobs', number, ...rest].map((part, k) => (k === 0 ? part : encodeURIComponent(part))).join('/');
}
