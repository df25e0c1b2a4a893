import type { UnitSystem } from '../../circuit/units.js';
import { unitsFirst } from '../../circuit/units-first.js';
import type { EntryOf } from '../../logbook/entry.js';
import type { Shop } from '../../logbook/fold-shop.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import {
  type Assessment,
  isBarred,
  type ReadingStanding,
  readingsOf,
  type StepStanding,
} from '../../steps/assessment.js';
import type { AcceptContext } from '../../steps/proposal.js';
import { shownText } from '../../steps/shown-text.js';
import { type Ask, issueStepId, type Step, stages } from '../../steps/step.js';
import { type CautionId, cautions, standingCautions } from '../../trade/cautions.js';
import { sourceText } from '../../trade/source.js';
import type { WorkAt } from '../job/job-at.js';
import { drawJob, marksOfStep } from '../job/job-drawing.js';
import { jobPath, reasonText, standingOf, whenText, writtenText } from '../words/job-words.js';
import { typedIn } from '../words/typed-in.js';
import { type Said, wordsOfPage } from '../words/word-links.js';
import { concessionForm } from './concession.js';
import { deviceBacks } from './device-drawing.js';
import { askField, askModel, photosOf, photosOfStep } from './step-form.js';
import { asOtherOutlet, torqueOffers } from './step-offers.js';
import { type Asking, instrumentOptions } from './usual-instrument.js';

/** Everything that the page of one step shows. */
export function stepModel(
  { number, log, job, zone }: WorkAt,
  standing: StepStanding,
  shop: Shop,
  asker: AcceptContext,
  asking: Asking,
  filled: readonly string[] = [],
) {
  const { step, done } = standing;
  const offers = torqueOffers(step, log, asker.by.id);
  const other = asOtherOutlet(number, job, step, zone);
  const own = photosOfStep(log, step.id);
  const barred = isBarred(standing);
  const asks = step.asks.filter((a) => a.kind !== 'photo');
  const words = wordsOfPage(typedIn(job.circuit));
  const say = (text: string) => words(unitsFirst(text, shop.units));
  return {
    title: `${step.number} ${step.title}`,
    wide: true,
    stage: stages[step.stage],
    backTo: 'job',
    action: jobPath(number, 'steps', step.id),
    standing: standingOf(standing, job.next?.step.id === step.id),
    status: standing.status,
    labels: labelsOf(step, shop.units),
    barred: barred ? standing.because.map(({ text }) => text) : [],
    reopened: standing.reopened,
    // In the order in which they are read: a word leads to its meaning where it first stands.
    cautions: cautionsOf(
      step.cautions,
      // Where it is ticked that they were read, they stand open.
      { live: step.stage === 'live', law: true, fold: !step.asks.some(({ id }) => id === 'cautions') },
      say,
    ),
    conditional: step.conditional && say(step.conditional),
    do: step.do.map(say),
    rightWhen: step.rightWhen.map(say),
    why: say(step.why),
    hold: step.hold && say(step.hold),
    sources: sourcesOf(step),
    drawing: drawJob(number, job, shop.units, marksOfStep(job, step.parts)),
    backs: deviceBacks(job.circuit, step),
    sheetLink: step.sheetLines === undefined ? undefined : jobPath(number, 'sheet'),
    sheetOpen: job.sheet.flatMap(({ line, met }) =>
      !met && step.sheetLines?.includes(line.group) ? [line.title] : [],
    ),
    asks: asks.map((ask) =>
      askModel(ask, shop.units, done, {
        offered: offers.get(ask.id),
        filled: filled.includes(askField(ask.id)) ? other?.outlet : undefined,
      }),
    ),
    other: other && { outlet: other.outlet, action: other.action, from: other.said },
    photoAsks: step.asks.filter((a) => a.kind === 'photo').map((ask) => photoModel(ask, own, zone)),
    instruments: instrumentsFor(step, shop, asking),
    readings: readingsOf(step, job).map((r) => readingLine(number, r)),
    defects: job.defects
      .filter((d) => d.status !== 'closed' && d.defect.subject === `step:${step.id}`)
      .map((d) => ({
        what: d.defect.body.what,
        status: d.status,
        href: jobPath(number, 'defects', d.defect.seq),
      })),
    done: done && { by: done.by.name, when: writtenText(done, zone) },
    conceded: standing.concession && reasonText(standing.concession, zone),
    // That nobody may concede it is said where something is refused.
    concede:
      standing.status === 'done' || barred || step.concession === 'never'
        ? undefined
        : concessionForm(step.concession, log, asker),
    canReopen: done !== undefined && standing.reopened.length === 0,
    raise: `${jobPath(number, 'defects')}?about=${encodeURIComponent(`step:${step.id}`)}`,
    ...around(number, job, step),
  };
}

/** Where what a step asks for comes from, and the limits of what it has measured: each source once. */
function sourcesOf({ sources, asks }: Step): string[] {
  const limits = asks.flatMap((ask) => (ask.kind === 'value' ? [ask.limitSource] : []));
  return [...new Set([...sources, ...limits].map(sourceText))];
}

/** Whose word is last: said by a live step, and at the foot of every page else. */
const lawCautions: readonly CautionId[] = ['local-rules-first', 'licensed-electrician'];

/** What holds at every live step alike, in the fewest words that name each of them; they unfold to the whole. */
const usualInShort =
  'At all live work: work dead, prove dead; no device guards hot to neutral; local rules and the law come first.';

/** What holds at every live step alike: said after what the hand must heed at this one. */
const afterItsOwn: readonly CautionId[] = ['work-dead', 'gfci-limits', ...lawCautions, 'no-approval'];

/**
 * The cautions of a step, a reading or a defect as sentences, under the word that stands over them: where mains are near it says
 * that they kill. With `law` they name the law too, and the foot of the page need not. With `fold` what holds at all live work is one
 * line that opens, so that what is this step's own is not lost among it on a phone.
 */
export function cautionsOf(
  ids: readonly CautionId[],
  {
    live,
    law = false,
    fold = false,
  }: { readonly live: boolean; readonly law?: boolean; readonly fold?: boolean },
  say: (text: string) => Said = (text) => text,
): { word: string; lines: Said[]; usual?: { short: string; lines: Said[] }; law: boolean } | undefined {
  const said = new Set([...ids, ...(live ? standingCautions : [])]);
  if (said.size === 0) return undefined;
  const last = said.has('gfci-limits') ? afterItsOwn : [];
  const shown = (id: CautionId) => id !== 'mains-kills' && (law || !lawCautions.includes(id));
  const own = [...said].filter((id) => !last.includes(id)).filter(shown);
  const usual = last.filter((id) => said.has(id)).filter(shown);
  // Elsewhere one of them may be all that a step has to say.
  const folds = live && fold && usual.length > 0;
  const sayAll = (ids: readonly CautionId[]) => ids.map((id) => say(cautions[id].text));
  const mains = said.has('mains-kills') ? cautions['mains-kills'].text : 'Mains kills';
  return {
    word: [...said].some((id) => id === 'mains-kills' || id.startsWith('live-')) ? mains : 'Caution',
    lines: sayAll(folds ? own : [...own, ...usual]),
    ...(folds ? { usual: { short: usualInShort, lines: sayAll(usual) } } : {}),
    law: lawCautions.every((id) => own.includes(id) || usual.includes(id)),
  };
}

/** A reading as one line: what it should show is said before it is taken. */
export function readingLine(number: string, reading: ReadingStanding) {
  const { planned, taken, verdict, concession } = reading;
  return {
    id: planned.id,
    code: planned.code,
    title: planned.title,
    required: planned.required,
    expected: planned.expected.text,
    limit: planned.limit?.text ?? 'noted, not judged',
    shown: taken === undefined ? '' : shownText(taken.body.shown),
    look: concession !== undefined ? 'conceded' : verdict,
    word: readingWord(reading),
    remark: reading.remarks[0] ?? '',
    href: jobPath(number, 'readings', planned.id),
  };
}

function readingWord({ planned, verdict, concession, all }: ReadingStanding): string {
  if (concession !== undefined) return 'conceded';
  if (verdict !== 'missing') return verdict;
  if (all.length > 0) return 'take again';
  return planned.required ? 'to take' : 'if it applies';
}

/** Every field of the page by its name, for the summary of what must be mended. */
function labelsOf(step: Step, units: UnitSystem): Record<string, string> {
  const asks = step.asks.flatMap((a): [string, string][] => [
    [askField(a.id), unitsFirst(a.label, units)],
    [`photo.${a.id}`, a.label],
  ]);
  return {
    ...Object.fromEntries(asks),
    instrument: 'Measured with',
    reason: 'Why',
    concession: 'Why it may stand',
  };
}

function photoModel(ask: Ask, own: readonly EntryOf<'photo added'>[], zone: TimeZone) {
  return {
    id: ask.id,
    label: ask.optional ? `${ask.label} (if it applies)` : ask.label,
    photos: photosOf(ask, own).map((p) => ({
      id: p.body.photo,
      caption: p.body.caption,
      widthPx: p.body.widthPx,
      heightPx: p.body.heightPx,
      when: whenText(p.at, zone),
    })),
  };
}

/** The instruments that a step's values may be taken with, where one of them asks for an instrument. */
function instrumentsFor(step: Step, shop: Shop, asking: Asking) {
  const wanted = step.asks.flatMap((a) =>
    a.kind === 'value' && a.instrument !== undefined ? [a.instrument] : [],
  );
  if (wanted.length === 0) return undefined;
  return instrumentOptions(shop.instruments, ({ kind }) => wanted.some((w) => w === kind), asking);
}

function around(number: string, job: Assessment, step: Step) {
  const list = [...job.steps.values()].map((s) => s.step);
  const k = list.findIndex((s) => s.id === step.id);
  const link = (s: Step | undefined) =>
    s && {
      title: `${s.number} ${s.title}`,
      href: s.id === issueStepId ? jobPath(number, 'record') : jobPath(number, 'steps', s.id),
    };
  return { previous: link(list[k - 1]), following: link(list[k + 1]) };
}
