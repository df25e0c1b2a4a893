/**
 * The zones that a shop may read its times in, by their names in the IANA time zone database: those where 120 V is met in North
 * America and on its islands. The letters of a zone (EST, in summer EDT) are common practice there; what the database knows of a
 * zone is taken from it, the letters are said here, since another machine may know other ones and a record is drawn alike anywhere.
 */
const zones = {
  'America/New_York': { words: 'Eastern', standard: 'EST', behind: 300, summer: 'EDT' },
  'America/Chicago': { words: 'Central', standard: 'CST', behind: 360, summer: 'CDT' },
  'America/Denver': { words: 'Mountain', standard: 'MST', behind: 420, summer: 'MDT' },
  'America/Phoenix': { words: 'Mountain, no summer time (Arizona)', standard: 'MST', behind: 420 },
  'America/Los_Angeles': { words: 'Pacific', standard: 'PST', behind: 480, summer: 'PDT' },
  'America/Anchorage': { words: 'Alaska', standard: 'AKST', behind: 540, summer: 'AKDT' },
  'Pacific/Honolulu': { words: 'Hawaii', standard: 'HST', behind: 600 },
  'America/Halifax': { words: 'Atlantic', standard: 'AST', behind: 240, summer: 'ADT' },
  'America/Puerto_Rico': { words: 'Atlantic, no summer time (Puerto Rico)', standard: 'AST', behind: 240 },
  'America/St_Johns': { words: 'Newfoundland', standard: 'NST', behind: 210, summer: 'NDT' },
  'America/Regina': { words: 'Central, no summer time (Saskatchewan)', standard: 'CST', behind: 360 },
  'Pacific/Guam': { words: 'Guam', standard: 'ChST', behind: -600 },
  UTC: { words: 'UTC, the time of the logbook itself', standard: 'UTC', behind: 0 },
} as const satisfies Record<string, Zone>;

interface Zone {
  readonly words: string;
  readonly standard: string;
  /** Minutes that its standard time stands behind UTC. */
  readonly behind: number;
  /** The letters of an hour later, where clocks are put forward in summer. */
  readonly summer?: string;
}

export type TimeZone = keyof typeof zones;
export const timeZones = Object.keys(zones) as [TimeZone, ...TimeZone[]];

/** A zone as a list offers it: "Mountain". */
export function zoneWords(zone: TimeZone): string {
  return zones[zone].words;
}

/** A time as the clock on the wall of a shop shows it. */
interface LocalTime {
  /** "2026-11-25" */
  readonly day: string;
  /** "18:12:05" */
  readonly time: string;
  /** "MST" */
  readonly letters: string;
}

/** What a clock in a zone shows at a time of the logbook (UTC, ISO 8601). */
export function localTime(at: string, zone: TimeZone): LocalTime {
  if (zone === 'UTC') return { day: at.slice(0, 10), time: at.slice(11, 19), letters: 'UTC' };
  const ms = Date.parse(at);
  const behind = minutesBehind(ms, zone);
  const shown = new Date(ms - behind * 60_000).toISOString();
  const { standard, behind: always, summer }: Zone = zones[zone];
  const letters = summer !== undefined && behind === always - 60 ? summer : standard;
  return { day: shown.slice(0, 10), time: shown.slice(11, 19), letters };
}

/** The day ("2026-11-25") that a calendar in a zone shows at a time of the logbook (UTC, ISO 8601). */
export function localDay(at: string, zone: TimeZone): string {
  return localTime(at, zone).day;
}

/** The last moment (UTC, ISO 8601) of a day ("2026-11-25") in a zone. */
export function endOfDay(day: string, zone: TimeZone): string {
  const asIfUtc = Date.parse(`${day}T23:59:59.999Z`);
  // Clocks are changed in the small hours: by 18:00 UTC that is over everywhere in America, and in Guam none is.
  const behind = minutesBehind(Date.parse(`${day}T18:00:00.000Z`), zone);
  return new Date(asIfUtc + behind * 60_000).toISOString();
}

/** How times of a zone are to be read: "Times are Mountain time: MST, 7 hours behind UTC; in summer MDT, 6." */
export function zoneNote(zone: TimeZone): string {
  if (zone === 'UTC') return 'Times are UTC.';
  const { words, standard, behind, summer }: Zone = zones[zone];
  const [name = ''] = words.split(',');
  const side = behind < 0 ? 'ahead of' : 'behind';
  const inSummer = summer === undefined ? '' : `; in summer ${summer}, ${hoursText(behind - 60)}`;
  return `Times are ${name} time: ${standard}, ${hoursText(behind)} hours ${side} UTC${inSummer}.`;
}

const hoursText = (minutes: number) => String(Math.abs(minutes) / 60);

// Made once for each zone, and only where one is asked for: making one takes as long as drawing several pages.
const offsets = new Map<TimeZone, Intl.DateTimeFormat>();

/** How far clocks in a zone stand behind UTC at a time (ms), in minutes. */
function minutesBehind(ms: number, zone: TimeZone): number {
  if (zone === 'UTC') return 0;
  let offset = offsets.get(zone);
  if (offset === undefined) {
    offset = new Intl.DateTimeFormat('en-US', { timeZone: zone, timeZoneName: 'longOffset' });
    offsets.set(zone, offset);
  }
  const said = offset.format(ms);
  const [, sign, hours, minutes] = /GMT([+-])(\d\d):(\d\d)/.exec(said) ?? [];
  const off = Number(hours ?? 0) * 60 + Number(minutes ?? 0);
  return sign === '+' ? -off : off;
}
