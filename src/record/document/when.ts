import type { Entry } from '../../logbook/entry.js';
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

/** "4 March 2026, 10:05 UTC" from a UTC time in ISO 8601; with the seconds where they count. */
export function spelledTime(iso: string, seconds = false): string {
  return `${spelledDay(iso)}, ${iso.slice(11, seconds ? 19 : 16)} UTC`;
}

/** "4 March 2026" from a day or a time in ISO 8601; the text itself where it is neither. */
export function spelledDay(iso: string): string {
  const found = /^(\d{4})-(\d{2})-(\d{2})/.exec(iso);
  const month = months[Number(found?.[2]) - 1];
  return found && month ? `${Number(found[3])} ${month} ${found[1]}` : iso;
}

/** "2026-03-04 10:05", for narrow columns; UTC. */
export function shortTime(iso: string): string {
  return `${iso.slice(0, 10)} ${iso.slice(11, 16)}`;
}

/** When an entry was written, for narrow columns: what waited on a phone was filled in then, and arrived later. */
export function writtenTimes({ at, filledIn }: Pick<Entry, 'at' | 'filledIn'>): CellLine[] {
  if (filledIn === undefined) return [muted(shortTime(at))];
  return [muted(shortTime(filledIn)), muted(`arrived ${shortTime(at)}`)];
}
