/** How far the clocks of Hawaii stand behind UTC, h: nobody who works on this circuit ends a day later. */
const westernmostHours = 10;

/**
 * The calendar day ("2026-11-25") that a time (UTC, ISO 8601) counts for against the last day of a calibration. A shop's zone is
 * for reading alone, since a job must be judged alike wherever its file is read; so a last day is over once it is over in the last of the zones:
 * by UTC it would be over in the afternoon of Alaska and in the evening of Maine.
 */
export function calibrationDay(at: string): string {
  return dayWhere(at, -westernmostHours);
}

/** Whether a calibration that holds until `due` was over at a time (UTC, ISO 8601); one without a last day never is. */
export function calibrationOver(due: string | undefined, at: string): boolean {
  return due !== undefined && calibrationDay(at) > due;
}

/**
 * Whether what was measured at a time (UTC, ISO 8601) is of the day ("2026-11-25") from which an instrument is doubtful, or of a later
 * one; always where no day is said. A day begins at midnight UTC: in America on the evening before, so nothing of the day is left out
 * there and no whole day's work is put in question that was right. Only in Guam is it the middle of the morning, and the page says so.
 */
export function isFrom(day: string, at: string): boolean {
  return at.slice(0, 10) >= day;
}

/** How far the clocks of Guam stand ahead of UTC, h: nobody who works on this circuit begins a day earlier. */
const easternmostHours = 10;

/**
 * Whether what was measured at a time (UTC, ISO 8601) may be of the day ("2026-11-25") on which its instrument was calibrated, or of a
 * later one: in Guam that day begins while UTC has the day before. What cannot be was dated by a clock that was wrong.
 */
export function mayBeFrom(day: string, at: string): boolean {
  return dayWhere(at, easternmostHours) >= day;
}

/** The day at a time (UTC, ISO 8601) where clocks stand so many hours ahead of UTC. */
function dayWhere(at: string, hoursAhead: number): string {
  return new Date(Date.parse(at) + hoursAhead * 3_600_000).toISOString().slice(0, 10);
}
