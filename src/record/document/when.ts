import type { Entry } from '../../logbook/entry.js';
import { localDay, localTime, type TimeZone } from '../../logbook/time-zone.js';
import { type CellLine, muted } from './block.js';

const months = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

/** "4 March 2026, 10:05:09 MST" from a time of the logbook (UTC, ISO 8601); without its seconds where they do not count. */
export function spelledTime(at: string, zone: TimeZone, seconds = false): string {
  const { day, time, letters } = localTime(at, zone);
  return `${spelledDay(day)}, ${seconds ? time : time.slice(0, 5)} ${letters}`;
}

/** "4 March 2026", the day in a zone of a time of the logbook (UTC, ISO 8601). */
export function dayOf(at: string, zone: TimeZone): string {
  return spelledDay(localDay(at, zone));
}

/** "4 March 2026" from a day ("2026-03-04"); the text itself where it is none. */
export function spelledDay(day: string): string {
  const found = /^(\d{4})-(\d{2})-(\d{2})$/.exec(day);
  const month = months[Number(found?.[2]) - 1];
  return found && month ? `${Number(found[3])} ${month} ${found[1]}` : day;
}

/** "2026-03-04 10:05", for narrow columns under a note that says the zone. */
export function shortTime(at: string, zone: TimeZone): string {
  const { day, time } = localTime(at, zone);
  return `${day} ${time.slice(0, 5)}`;
}

/** When an entry was written, for narrow columns: what waited on a phone was filled in then, and arrived later. */
export function writtenTimes({ at, filledIn }: Pick<Entry, 'at' | 'filledIn'>, zone: TimeZone): CellLine[] {
  if (filledIn === undefined) return [muted(shortTime(at, zone))];
  return [muted(shortTime(filledIn, zone)), muted(`arrived ${shortTime(at, zone)}`)];
}
