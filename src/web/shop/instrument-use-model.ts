import { calibrationOver } from '../../logbook/calibration.js';
import type { Entry } from '../../logbook/entry.js';
import type { Instrument } from '../../logbook/fold-shop.js';
import { circuitAt, type JobLog } from '../../logbook/job-log.js';
import { type TimeZone, zoneNote } from '../../logbook/time-zone.js';
import { planOf } from '../../steps/plan-of.js';
import { shownText } from '../../steps/shown-text.js';
import { subjectWords } from '../../steps/subject-words.js';
import { instrumentUse } from '../../store/instrument-use.js';
import type { Store } from '../../store/open-store.js';
import { entryWords } from '../words/entry-words.js';
import { dayText, jobPath, whenText } from '../words/job-words.js';

/** What an instrument gave, job by job since a day, with what was taken after its calibration ended, and what is in question already. */
export function instrumentUseModel(store: Store, instrument: Instrument, since: string) {
  const from = /^\d{4}-\d{2}-\d{2}$/.test(since) ? since : '';
  const { zone } = store.shop.state();
  const jobs = instrumentUse(store, instrument.id, from).map(({ job, given }) => {
    const log = store.logbook.log(job);
    return {
      number: job,
      href: jobPath(job),
      van: log.described?.vehicle.description ?? '',
      given: given.map((entry) => givenLine(log, entry, instrument, zone)),
    };
  });
  const all = jobs.flatMap((job) => job.given);
  return {
    since: from,
    jobs,
    count: all.length,
    late: all.filter((line) => line.late).length,
    questioned: instrument.questioned && {
      from: dayText(instrument.questioned.from),
      reason: instrument.questioned.reason,
      when: whenText(instrument.questioned.at, zone),
      by: instrument.questioned.by,
    },
    times: zoneNote(zone),
    firstLate: instrument.due === undefined ? '' : dayAfter(instrument.due),
  };
}

function givenLine(log: JobLog, entry: Entry, { due }: Instrument, zone: TimeZone) {
  const circuit = circuitAt(log, entry.seq);
  const plan = circuit && planOf(circuit);
  const kept = entry.kind === 'reading taken' ? entry.body.instrument?.due : undefined;
  const end = due ?? kept;
  return {
    href: `${jobPath(entry.job, 'logbook')}#entry-${entry.seq}`,
    about: subjectWords(entry.subject, plan),
    shown: entry.kind === 'reading taken' ? shownText(entry.body.shown) : entryWords(entry, plan).join('; '),
    when: whenText(entry.at, zone),
    late: calibrationOver(end, entry.at),
    inQuestion: log.questioned.get(entry.seq)?.seq,
    struck: log.struck.has(entry.seq),
  };
}

/** The first day that a calibration no longer holds for. */
function dayAfter(day: string): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + 86_400_000).toISOString().slice(0, 10);
}
