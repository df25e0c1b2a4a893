import type { EntryOf } from '../logbook/entry.js';
import { circuitAt, type JobLog } from '../logbook/job-log.js';
import { expiredText, questionedText } from './accept-questioned.js';
import type { ReadingStanding } from './assessment.js';
import { besideOthers } from './beside-others.js';
import { disturbs } from './disturbances.js';
import { type Judged, judgeReading } from './judge-reading.js';
import { basisChanges, type Plan, planOf } from './plan-of.js';
import { remembered } from './remembered.js';
import { concessionFor } from './standing-concession.js';
import type { PlannedReading } from './step.js';

/** Where every planned reading stands: the newest that nothing has disturbed since, judged. */
export function standingReadings(log: JobLog, plan: Plan): Map<string, ReadingStanding> {
  const alone = new Map<string, ReadingStanding>();
  for (const planned of plan.readings)
    alone.set(planned.id, standing(planned, log.readings.get(`reading:${planned.id}`), log));
  const all = new Map<string, ReadingStanding>();
  for (const [id, reading] of alone) {
    const beside = besideOthers(reading, (other) => alone.get(other));
    all.set(id, beside.verdict === reading.verdict ? beside : { ...beside, ...concededIn(log, beside) });
  }
  return all;
}

const standing = remembered(['circuits', 'circuit', 'reworks', 'questioned', 'concessions'], standingOf);

function standingOf(
  planned: PlannedReading,
  all: readonly EntryOf<'reading taken'>[] | undefined,
  log: Pick<JobLog, 'circuits' | 'circuit' | 'reworks' | 'questioned' | 'concessions'>,
): ReadingStanding {
  const newest = all?.at(-1);
  if (all === undefined || newest === undefined)
    return { planned, verdict: 'missing', earlier: [], remarks: [] };
  const spent = whySpent(log, planned, newest);
  if (spent.length > 0) return { planned, verdict: 'missing', earlier: all, remarks: spent };
  const questioned = log.questioned.get(newest.seq);
  const doubt = questioned === undefined ? expiredText(newest) : questionedText(questioned);
  const judged = inDoubt(judgeReading(planned, newest.body.shown, newest.body.instrument), doubt);
  const stands = {
    planned,
    verdict: judged.verdict,
    taken: newest,
    earlier: all.slice(0, -1),
    remarks: judged.remarks,
    ...(judged.uncertainty === undefined ? {} : { uncertainty: judged.uncertainty }),
  };
  return { ...stands, ...concededIn(log, stands) };
}

/** The concession of a reading that is unproven, where one was granted for it as it stands. */
function concededIn(
  log: Pick<JobLog, 'circuits' | 'circuit' | 'questioned' | 'concessions'>,
  { planned, verdict, taken }: ReadingStanding,
): Pick<ReadingStanding, 'concession'> {
  if (taken === undefined || planned.concession === 'never' || verdict !== 'unproven') return {};
  const concession = concessionFor(log, `reading:${planned.id}`, () => true);
  const since = Math.max(taken.seq, log.questioned.get(taken.seq)?.seq ?? 0);
  return concession !== undefined && concession.seq > since ? { concession } : {};
}

/** A pass by an instrument that was found out of true, or out of its calibration, is no proof; a fail stays one until it is read again. */
function inDoubt(judged: Judged, doubt: string | undefined): Judged {
  if (doubt === undefined) return judged;
  const verdict = judged.verdict === 'pass' ? 'unproven' : judged.verdict;
  return { ...judged, verdict, remarks: [doubt, ...judged.remarks] };
}

/** Why a reading that was taken no longer counts, in words; empty where it does. */
export function whySpent(
  log: Pick<JobLog, 'circuits' | 'circuit' | 'reworks'>,
  planned: PlannedReading,
  taken: EntryOf<'reading taken'>,
): string[] {
  const then = circuitAt(log, taken.seq);
  const plannedThen =
    then === log.circuit ? planned : then && planOf(then).readings.find((r) => r.id === planned.id);
  const changes = plannedThen
    ? basisChanges(plannedThen.basis, planned.basis)
    : ['the circuit did not call for it then'];
  const mend =
    log.circuit &&
    log.reworks.find(
      (rework) =>
        rework.seq > taken.seq && rework.body.disturbs.some((d) => disturbs(log.circuit!, d, planned)),
    );
  return [
    ...(changes.length > 0 ? [`Take it again: the circuit changed (${changes.join('; ')}).`] : []),
    ...(mend ? [`Take it again: the mend in entry ${mend.seq} disturbed it.`] : []),
  ];
}

/** True where a reading bars nothing: it passed, or a concession covers that it is unproven. */
export function readingMet(reading: ReadingStanding): boolean {
  return reading.verdict === 'pass' || (reading.verdict === 'unproven' && reading.concession !== undefined);
}
