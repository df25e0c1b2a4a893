import type { EntryOf } from '../../logbook/entry.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import { putNewest } from '../../put-newest.js';
import { timestampIn } from '../../record/timestamp-in.js';
import type { RecordStore } from '../../store/record-store.js';
import { whenText } from '../words/job-words.js';

/** By the digest of the file, the time of its entry and the zone it is told in: what a file says never changes, and each is some megabytes to read. */
const told = new Map<string, string>();
const mostTold = 1000;

/** Who put a time on the signature of a revision, and which, where anyone did. */
export function timestampOf(
  records: RecordStore,
  job: string,
  { at, body }: EntryOf<'record issued'>,
  zone: TimeZone,
): string | undefined {
  const key = `${body.sha256} ${at} ${zone}`;
  let words = told.get(key);
  if (words === undefined) {
    const pdf = records.get(job, body.revision)?.pdf;
    const stamp = pdf && timestampIn(pdf, at);
    words = stamp === undefined ? '' : `${stamp.authority}, ${whenText(stamp.at, zone)}`;
    if (pdf !== undefined) putNewest(told, key, words, mostTold);
  }
  return words === '' ? undefined : words;
}
