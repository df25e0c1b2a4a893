import type { Result } from '../errors.js';
import type { NewEntry, Shown } from '../logbook/entry.js';
import { barsOfReading, hasOpenDefect } from './assessment.js';
import { besideOthers } from './beside-others.js';
import { judgeReading } from './judge-reading.js';
import { refuse, type WithJob } from './proposal.js';
import { shownText } from './shown-text.js';
import type { PlannedReading } from './step.js';
import { parseSubject } from './subject.js';
import { suspectsAfter } from './suspects.js';

type ReadingTaken = Extract<NewEntry, { kind: 'reading taken' }>;
type ReadingStruck = Extract<NewEntry, { kind: 'reading struck' }>;

/** A reading may be taken when nothing bars it (`barsOfReading`). One that fails raises a defect by itself, with what it points to. */
export function acceptReading(proposal: WithJob<ReadingTaken>): Result<NewEntry[]> {
  const { entry, job, sealed } = proposal;
  const subject = parseSubject(entry.subject);
  const standing = subject?.of === 'reading' ? job.readings.get(subject.id) : undefined;
  if (standing === undefined)
    return sealed ? { ok: true, value: [entry] } : refuse('reading', 'This circuit has no such reading.');
  const { planned } = standing;
  const issue = wrongShown(planned, entry.body.shown);
  if (issue !== undefined) return refuse('shown', issue);
  if (sealed) return { ok: true, value: [entry] };
  const bars = barsOfReading(job, planned);
  if (bars.length > 0)
    return { ok: false, issues: bars.map(({ text: message }) => ({ field: 'reading', message })) };
  if (
    entry.body.shown.kind !== 'answer' &&
    entry.body.shown.kind !== 'lamps' &&
    entry.body.instrument === undefined
  ) {
    return refuse('instrument', 'say which instrument showed it');
  }
  const alone = judgeReading(planned, entry.body.shown, entry.body.instrument);
  const judged = besideOthers({ planned, ...alone, taken: entry }, (id) => job.readings.get(id));
  if (judged.verdict !== 'fail' || hasOpenDefect(job, entry.subject)) return { ok: true, value: [entry] };
  const raised: NewEntry = {
    kind: 'defect raised',
    subject: entry.subject,
    body: {
      what: `${planned.code} ${planned.title}: shown ${shownText(entry.body.shown)}, should be ${planned.limit?.text ?? planned.expected.text}.`,
      reading: proposal.log.entries.length + 1,
      suspects: suspectsAfter(job, planned, entry.body),
    },
  };
  return { ok: true, value: [entry, raised] };
}

function wrongShown(planned: PlannedReading, shown: Shown): string | undefined {
  const wanted = {
    resistance: 'ohms',
    voltage: 'volts',
    'loaded-voltage': 'loaded-volts',
    observation: 'answer',
  } as const;
  const kind = planned.what === 'three-lamp' ? 'lamps' : wanted[planned.test];
  if (shown.kind !== kind) return 'is not what this reading asks for';
  if (shown.kind === 'volts' && shown.lowImpedance && planned.lowImpedance === 'never') {
    return 'a low-impedance reading here trips the ground-fault device: read it on the ordinary range';
  }
  if (shown.kind === 'loaded-volts' && shown.amps > 40)
    return 'the test load is over 40 A: type the amps of the load';
  if ((shown.kind === 'volts' || shown.kind === 'loaded-volts') && shown.volts > 1000)
    return 'is over 1000 V: check the figure and its unit';
  if (shown.kind === 'ohms' && shown.ohms !== null && shown.ohms > 1e9)
    return 'is over 1000 MΩ: tick OL instead';
  return undefined;
}

/** A slip is struck with its reason; the reading stays in the logbook and no longer counts. */
export function acceptStrike({ entry, log }: WithJob<ReadingStruck>): Result<NewEntry[]> {
  const reading = log.entries.find((e) => e.seq === entry.body.reading);
  if (reading?.kind !== 'reading taken')
    return refuse('reading', 'There is no reading with this entry number.');
  if (reading.subject !== entry.subject) return refuse('reading', 'That entry is about another reading.');
  if (log.struck.has(reading.seq)) return refuse('reading', 'This reading is struck already.');
  return { ok: true, value: [entry] };
}
