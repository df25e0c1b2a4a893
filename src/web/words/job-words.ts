import type { Entry, EntryOf } from '../../logbook/entry.js';
import type { JobLog } from '../../logbook/job-log.js';
import { localDay, localTime, type TimeZone } from '../../logbook/time-zone.js';
import type { StepStanding } from '../../steps/assessment.js';
import type { Since } from '../../steps/since-record.js';

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A time of the logbook for reading, by the clock of the shop: "25 Nov 2026, 10:12 MST". */
export function whenText(at: string, zone: TimeZone): string {
  const { day, time, letters } = localTime(at, zone);
  return `${dayText(day)}, ${time.slice(0, 5)} ${letters}`;
}

/** When an entry was written: for a form that waited on a phone, when it was filled in, and when it arrived. */
export function writtenText({ at, filledIn }: Pick<Entry, 'at' | 'filledIn'>, zone: TimeZone): string {
  const arrived = whenText(at, zone);
  return filledIn === undefined ? arrived : `filled in ${whenText(filledIn, zone)}, arrived ${arrived}`;
}

/** The day of a time of the logbook, by the calendar of the shop: "25 Nov 2026". */
export function dayOf(at: string, zone: TimeZone): string {
  return dayText(localDay(at, zone));
}

/** A day that was typed ("2026-11-25") for reading: "25 Nov 2026". */
export function dayText(typed: string): string {
  const [year = '', month = '', day = ''] = typed.split('-');
  return `${Number(day)} ${months[Number(month) - 1] ?? month} ${year}`;
}

/** "Closed by Ines Okafor, 2 Dec 2026, 10:12 MST: the owner took the van away."; undefined while a job is open. */
export function apartText({ entries, standing }: JobLog, zone: TimeZone): string | undefined {
  const last = entries.findLast(
    (e): e is EntryOf<'job set aside'> | EntryOf<'job closed'> =>
      e.kind === 'job set aside' || e.kind === 'job closed',
  );
  if (standing === 'open' || last === undefined) return undefined;
  const word = standing === 'closed' ? 'Closed' : 'Set aside';
  return `${word} by ${reasonText(last, zone)}`;
}

/** Who wrote an entry, when and why: "Ines Okafor, 2 Dec 2026, 10:12 MST: the panel is glued." */
export function reasonText(
  { by, at, body }: Pick<Entry, 'by' | 'at'> & { readonly body: { readonly reason: string } },
  zone: TimeZone,
): string {
  return `${by.name}, ${whenText(at, zone)}: ${body.reason}`;
}

/** What came after a record, as a line: "25 Nov 2026: …". */
export function sinceLine({ at, text }: Since, zone: TimeZone): string {
  return `${dayOf(at, zone)}: ${text}`;
}

interface Standing {
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
