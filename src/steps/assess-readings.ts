import type { EntryOf } from '../logbook/entry.js';
import { circuitAt, type JobLog } from '../logbook/job-log.js';
import type { ReadingStanding } from './assessment.js';
import { besideIds, besideOthers } from './beside-others.js';
import type { CommonGround } from './common-ground.js';
import { reopensReading } from './disturbances.js';
import { expiredText, questionedText } from './instrument-doubts.js';
import { type Judged, judgeReading } from './judge-reading.js';
import { basisChanges, type Plan, planOf } from './plan-of.js';
import { concessionFor } from './standing-concession.js';
import type { PlannedReading } from './step.js';

/**
 * Where every planned reading stands, by its id: the newest that nothing has disturbed since, judged alone and then beside the
 * others. Where `before` is given, a reading of which nothing was written since, nor of those beside it, stands as it stood.
 */
export function standingReadings(
  log: ReadingsLog,
  plan: Plan,
  before: Standing | undefined,
): ReadonlyMap<string, ReadingStanding> {
  const moved = before === undefined ? plan.readings : movedReadings(log, plan, before.log);
  if (moved.length === 0 && before !== undefined) return before.readings;
  const alone = new Map(moved.map((planned) => [planned.id, standing(planned, log)]));
  const of = (id: string) => alone.get(id) ?? before?.readings.get(id);
  const all = new Map(before?.readings);
  for (const [id, reading] of alone) {
    const beside = besideOthers(reading, of);
    all.set(id, beside.verdict === reading.verdict ? beside : { ...beside, ...concededIn(log, beside) });
  }
  return all;
}

type ReadingsLog = CommonGround & Pick<JobLog, 'readings'>;

/** What stood in a log that the one at hand grew from, on the same ground. */
interface Standing {
  readonly log: ReadingsLog;
  readonly readings: ReadonlyMap<string, ReadingStanding>;
}

/** The planned readings of which something was written since, and those that are judged beside them. */
function movedReadings(log: ReadingsLog, plan: Plan, before: ReadingsLog): readonly PlannedReading[] {
  if (log.readings === before.readings) return [];
  const moved = new Set<string>();
  const move = (subject: string) => moved.add(subject.slice('reading:'.length));
  for (const [subject, readings] of log.readings)
    if (before.readings.get(subject) !== readings) move(subject);
  for (const subject of before.readings.keys()) if (!log.readings.has(subject)) move(subject);
  return plan.readings.filter(
    (planned) => moved.has(planned.id) || besideIds(planned).some((id) => moved.has(id)),
  );
}

function standing(planned: PlannedReading, log: ReadingsLog): ReadingStanding {
  const all = log.readings.get(`reading:${planned.id}`) ?? [];
  const newest = all.at(-1);
  if (newest === undefined) return { planned, verdict: 'missing', all, remarks: [] };
  const spent = whySpent(log, planned, newest);
  if (spent.length > 0) return { planned, verdict: 'missing', all, remarks: spent };
  const questioned = log.questioned.get(newest.seq);
  const doubt =
    questioned === undefined ? expiredText(newest.at, newest.body.instrument) : questionedText(questioned);
  const judged = inDoubt(judgeReading(planned, newest.body.shown, newest.body.instrument), doubt);
  const stands = {
    planned,
    verdict: judged.verdict,
    taken: newest,
    all,
    remarks: judged.remarks,
    ...(judged.uncertainty === undefined ? {} : { uncertainty: judged.uncertainty }),
    ...(judged.toProve === undefined ? {} : { toProve: judged.toProve }),
  };
  return { ...stands, ...concededIn(log, stands) };
}

/** The concession of a reading that is unproven, where one was granted for it as it stands. */
function concededIn(
  log: CommonGround,
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
function whySpent(log: CommonGround, planned: PlannedReading, taken: EntryOf<'reading taken'>): string[] {
  const then = circuitAt(log, taken.seq);
  const plannedThen =
    then === log.circuit ? planned : then && planOf(then).readings.find((r) => r.id === planned.id);
  const changes = plannedThen
    ? basisChanges(plannedThen.basis, planned.basis)
    : ['the circuit did not call for it then'];
  const mend =
    log.circuit &&
    log.reworks.find((rework) => rework.seq > taken.seq && reopensReading(log.circuit!, rework, planned));
  return [
    ...(changes.length > 0 ? [`Take it again: the circuit changed (${changes.join('; ')}).`] : []),
    ...(mend ? [`Take it again: the mend in entry ${mend.seq} disturbed it.`] : []),
  ];
}

/** True where a reading bars nothing: it passed, or a concession covers that it is unproven. */
export function readingMet(reading: ReadingStanding): boolean {
  return reading.verdict === 'pass' || (reading.verdict === 'unproven' && reading.concession !== undefined);
}
