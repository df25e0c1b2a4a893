import { uncapital } from '../../circuit/quantity-text.js';
import type { UnitSystem } from '../../circuit/units.js';
import { unitsFirst } from '../../circuit/units-first.js';
import type { Answer } from '../../faults/diagnose.js';
import type { EntryOf } from '../../logbook/entry.js';
import type { JobLog } from '../../logbook/job-log.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import {
  type Assessment,
  barsOfReading,
  earlierReadings,
  hasOpenDefect,
  isDue,
  type ReadingStanding,
  readingsOf,
} from '../../steps/assessment.js';
import type { AcceptContext } from '../../steps/proposal.js';
import { shownText } from '../../steps/shown-text.js';
import type { PlannedReading } from '../../steps/step.js';
import { jobAnswer, saysHandsOff } from '../../steps/suspects.js';
import { cautions } from '../../trade/cautions.js';
import { type MistakeId, meterMistake } from '../../trade/meter-mistakes.js';
import { sourceText } from '../../trade/source.js';
import type { WorkAt } from '../job/job-at.js';
import { drawJob, markOfReading } from '../job/job-drawing.js';
import { concessionForm } from '../step/concession.js';
import { cautionsOf } from '../step/step-model.js';
import { jobPath, reasonText, writtenText } from '../words/job-words.js';
import { jointWords } from '../words/joint-words.js';
import { probesText, uncertaintyText } from '../words/reading-words.js';
import { typedIn } from '../words/typed-in.js';
import { wordsOfPage } from '../words/word-links.js';
import { nextInJobModel } from './next-in-job-model.js';
import { slips } from './reading-form.js';
import { suspectModels, suspectsNow } from './suspect-model.js';

const labels = {
  ohms: 'Shown',
  volts: 'Shown',
  answer: 'Answer',
  amps: 'Amps of the test load',
  range: 'Top of that range',
  instrument: 'With',
  before: 'The reading before',
  note: 'Note',
  reason: 'What the slip was',
  concession: 'Why it may stand',
};

/** Everything that the page of one reading shows. */
export function readingModel(
  { number, log, job, zone }: WorkAt,
  standing: ReadingStanding,
  {
    instruments,
    asker,
    units,
  }: {
    instruments: readonly { value: string; label: string }[];
    asker: AcceptContext;
    units: UnitSystem;
  },
) {
  const { planned, taken } = standing;
  const step = job.steps.get(planned.step);
  const answer = jobAnswerFor(job, standing);
  const parting =
    standing.verdict === 'fail' && answer ? nextInJobModel(number, job, answer, planned.id) : undefined;
  const limit = planned.limit?.text ?? 'noted, not judged by number';
  const words = wordsOfPage(typedIn(job.circuit));
  const say = (text: string) => words(unitsFirst(text, units));
  return {
    title: `${planned.code} ${planned.title}`,
    wide: true,
    back: jobPath(number, 'readings'),
    backTo: step
      ? { href: jobPath(number, 'steps', step.step.id), label: `${step.step.number} ${step.step.title}` }
      : { href: jobPath(number, 'readings'), label: 'Readings' },
    action: jobPath(number, 'readings', planned.id),
    barred: barsOfReading(job, planned).map(({ text }) => text),
    test: planned.test,
    labels,
    lamps: planned.what === 'three-lamp',
    question: planned.question,
    // In the order in which they are read: a word leads to its meaning where it first stands.
    cautions: cautionsOf(planned.cautions, { live: planned.stage === 'live' }, say),
    probes: probesText(planned).map(say),
    asked: planned.question && say(planned.question),
    expected: planned.expected.text,
    limit: say(limit),
    limitIsLong: limit.length > 30,
    lookAgain: planned.look && say(lookText(planned, planned.look)),
    source: sourceText(planned.source),
    mistakes: mistakesBeside(planned).map((id) => say(meterMistake(id).text)),
    lowImpedance: planned.lowImpedance,
    range: rangeText(planned),
    amps: loadBefore(log, planned.test),
    ampsHint:
      planned.amps &&
      `${planned.amps} A or more. The watts on its plate divided by 120, or what a clamp meter shows.`,
    drawing: drawJob(number, job, units, markOfReading(job, planned.parts)),
    instruments: planned.instrument === undefined ? undefined : instruments,
    slips: taken && [
      { value: 'stands', label: 'It stands: this is read once more' },
      ...Object.entries(slips).map(([value, reason]) => ({
        value,
        label: `Strike it. ${reason}`,
      })),
    ],
    mayNotHaveInstrument: planned.instrument !== undefined && instruments.length === 0,
    verdict: taken && verdictModel(number, standing, taken, zone),
    joint: jointOf(standing, answer),
    again: taken === undefined ? standing.remarks : [],
    earlier: earlierReadings(standing).map((e) => ({
      shown: shownText(e.body.shown),
      by: e.by.name,
      when: writtenText(e, zone),
    })),
    concede:
      standing.verdict === 'unproven' && standing.concession === undefined
        ? concessionForm(planned.concession, log, asker)
        : undefined,
    defect: defectModel(number, job, standing, answer),
    next: nextModel(number, job, standing, parting),
    parting: parting?.planned === false ? parting : undefined,
  };
}

/** The slips of the meter that no caution of the same page speaks of already. */
function mistakesBeside({ mistakes, cautions }: PlannedReading): readonly MistakeId[] {
  return mistakes.filter((id) => {
    const { caution } = meterMistake(id);
    return caution === undefined || !cautions.includes(caution);
  });
}

/** On which range it is read, where that matters; where a caution says so with its reason, that is enough. */
function rangeText({ test, lowImpedance, cautions }: PlannedReading): string | undefined {
  if (lowImpedance === 'asked') return 'On the low-impedance range.';
  const inVolts = test === 'voltage' || test === 'loaded-voltage';
  return lowImpedance === 'never' && inVolts && !cautions.includes('low-impedance-trips')
    ? 'Never on the low-impedance range here.'
    : undefined;
}

/** When a reading is looked at again, with its figure: "Over 0.24 Ω, higher than this circuit predicts: look at the splices." */
function lookText(
  { test, amps }: PlannedReading,
  { over, text, namesFigure }: NonNullable<PlannedReading['look']>,
): string {
  if (over === undefined || namesFigure) return text;
  const load = amps === undefined ? '' : ` at ${amps} A`;
  return `Over ${over} ${test === 'resistance' ? 'Ω' : 'V'}${load}: ${uncapital(text)}`;
}

/** The load that was used last in this job: a figure that somebody typed, never the one that is asked for. */
function loadBefore(log: JobLog, test: string): number | undefined {
  if (test !== 'loaded-voltage') return undefined;
  const last = log.entries.findLast(
    (e) => e.kind === 'reading taken' && e.body.shown.kind === 'loaded-volts',
  );
  return last?.kind === 'reading taken' && last.body.shown.kind === 'loaded-volts'
    ? last.body.shown.amps
    : undefined;
}

/** What all readings say, where this one is a fail or a drop under load; else the fault-finder is not asked. */
function jobAnswerFor(job: Assessment, { planned, taken, verdict }: ReadingStanding): Answer | undefined {
  if (taken === undefined) return undefined;
  return verdict === 'fail' ||
    planned.test === 'loaded-voltage' ||
    hasOpenDefect(job, `reading:${planned.id}`)
    ? jobAnswer(job)
    : undefined;
}

/** What the drop that was read hot to neutral under load speaks of beyond the predicted one: said, not judged. */
function jointOf({ planned, remarks }: ReadingStanding, answer: Answer | undefined): string | undefined {
  if (planned.test !== 'loaded-voltage' || !planned.to?.endsWith('.neutral')) return undefined;
  const joint = answer?.joints.find((j) => planned.from === `${j.at}.hot`);
  // That no joint shows is not said beneath a remark that speaks of one, or of a load that is too small to tell.
  if (joint?.what === 'meter-too-coarse' && remarks.length > 0) return undefined;
  return joint && jointWords(joint);
}

function verdictModel(
  number: string,
  standing: ReadingStanding,
  taken: EntryOf<'reading taken'>,
  zone: TimeZone,
) {
  const { verdict, concession, remarks } = standing;
  const { instrument, note } = taken.body;
  return {
    word: verdict,
    sentence: verdictSentence(verdict, standing.planned.test === 'observation'),
    shown: shownText(taken.body.shown),
    uncertainty: uncertaintyText(standing),
    remarks,
    note,
    by: taken.by.name,
    when: writtenText(taken, zone),
    instrument: instrument === undefined ? '' : `${instrument.name}, serial ${instrument.serial}`,
    seq: taken.seq,
    strike: jobPath(number, 'readings', standing.planned.id, 'strike'),
    conceded: concession && reasonText(concession, zone),
  };
}

function verdictSentence(verdict: ReadingStanding['verdict'], seen: boolean): string {
  if (seen && verdict === 'pass') return 'As it should be.';
  if (seen && verdict === 'fail') return 'Not as it should be. A defect is raised.';
  if (verdict === 'pass') return 'Within its limit, the meter’s error counted against it.';
  if (verdict === 'noted') return 'Written down; no limit judges it.';
  if (verdict === 'fail') return 'Outside its limit, whatever the meter’s error. A defect is raised.';
  return 'Neither pass nor fail: this does not prove it. What would stands below.';
}

/** The defect that this reading raised, while it is not closed, with what the readings point to. */
function defectModel(
  number: string,
  job: Assessment,
  { planned }: ReadingStanding,
  answer: Answer | undefined,
) {
  const found = job.defects.findLast(
    (d) => d.defect.subject === `reading:${planned.id}` && d.status !== 'closed',
  );
  if (found === undefined) return undefined;
  const now = found.status === 'open' ? (answer ?? jobAnswer(job)) : undefined;
  return {
    href: jobPath(number, 'defects', found.defect.seq),
    status: found.status,
    askFirst: now?.askFirst.map((a) => a.text) ?? [],
    beforeOpening: [
      cautions['plug-out-first'].text,
      ...(job.circuit.otherSources.length > 0 ? [cautions['other-source-off'].text] : []),
    ].join(' '),
    suspects: suspectModels(job.circuit, suspectsNow(now, found.defect.body.suspects)),
  };
}

/** One tap on: after a fail the reading that parts the suspects best, else the next one that is due. */
function nextModel(
  number: string,
  job: Assessment,
  standing: ReadingStanding,
  parting: ReturnType<typeof nextInJobModel>,
) {
  if (saysHandsOff(standing)) return undefined;
  const { planned } = standing;
  const link = (id: string, why: string) => {
    const r = job.readings.get(id)?.planned;
    return (
      r && {
        title: `${r.code} ${r.title}`,
        href: jobPath(number, 'readings', r.id),
        why,
        expected: r.expected.text,
      }
    );
  };
  const mended = job.defects.some(
    (d) => d.defect.subject === `reading:${planned.id}` && d.status === 'reworked, to be tested again',
  );
  // A mend that touched nothing leaves the fail standing: what proves the mend is this reading, nothing else.
  if (mended && standing.verdict === 'fail' && barsOfReading(job, planned).length === 0)
    return {
      title: `take ${planned.code} again`,
      href: '#entry',
      why: 'The mend counts once this reads right.',
      expected: planned.expected.text,
    };
  if (parting?.planned)
    return { ...parting, why: 'This reading tells the suspects apart best.', parts: true };
  const step = job.steps.get(planned.step)?.step;
  const next = step && readingsOf(step, job).find((r) => isDue(r) && r.planned.id !== planned.id);
  if (next !== undefined) return link(next.planned.id, 'The next reading of this step.');
  return (
    step && {
      title: `${step.number} ${step.title}`,
      href: jobPath(number, 'steps', step.id),
      why: 'Back to the step.',
      expected: '',
    }
  );
}
