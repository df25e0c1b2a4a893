import { type Circuit, words } from '../../circuit/circuit.js';
import { cordText, ownerFacts, runTogetherLines } from '../../circuit/owner-facts.js';
import { placeWords } from '../../circuit/place-words.js';
import { listText } from '../../circuit/quantity-text.js';
import { unitsFirst } from '../../circuit/units-first.js';
import type { EntryOf } from '../../logbook/entry.js';
import { localDay, type TimeZone } from '../../logbook/time-zone.js';
import type { Assessment } from '../../steps/assessment.js';
import { othersAtWork } from '../../steps/others-at-work.js';
import type { Step } from '../../steps/step.js';
import { parseSubject } from '../../steps/subject.js';
import { cautions, standingCautions } from '../../trade/cautions.js';
import { ownerAdvice } from '../../trade/owner-sentences.js';
import { type Block, heading, list, paragraph, type Section } from './block.js';
import type { RecordInput } from './record-input.js';
import { answerText } from './shown-text.js';
import { dayOf, spelledDay, spelledTime } from './when.js';

/**
 * Page one, for the owner: what was installed and tested, by whom and with what result, the cautions and what a record is not, which no list
 * before them may push to the next page; then what was conceded and left out, what to do each time, every month and when the device trips, what may run together.
 */
export function coverSection(job: Assessment, input: RecordInput): Section {
  const { circuit } = job;
  const { plugging, monthly, tripped } = ownerAdvice(ownerFacts(circuit));
  return {
    title: 'Record of a shore-power inlet and its run',
    blocks: [
      { kind: 'pairs', rows: coverFacts(job, input) },
      heading('Cautions'),
      list(standingCautions.map((id) => cautions[id].text)),
      heading('What this record is'),
      paragraph(
        `${cautions['no-approval'].text} It says which checks were met on the dates in it, judged by the rules of version ${input.rules}; of anything done to the van after them it knows nothing. A check that could not be proven is called unproven and never a pass. What the words mean stands on the page for the owner.`,
      ),
      heading('Conceded and noted'),
      list(pageOne(job, input)),
      heading('Each time, every month, and when it trips'),
      list([plugging, monthly, tripped]),
      heading('What may run together'),
      list(runTogetherLines(circuit)),
    ] satisfies Block[],
  };
}

function coverFacts(job: Assessment, input: RecordInput): [string, string][] {
  const { circuit } = job;
  const described = job.log.described;
  const van = [
    described?.vehicle.plate ? `plate ${described.vehicle.plate}` : '',
    described?.vehicle.vin ? `VIN ${described.vehicle.vin}` : '',
    words.vehicleUse[circuit.vehicleUse],
  ];
  const others = othersAtWork(job.log);
  const fitter = `fitter ${described?.fitter ?? ''}${others.length > 0 ? ` with ${listText(others)}` : ''}`;
  const checker = input.worksAlone ? 'alone, no checker' : `checker ${described?.checker ?? ''}`;
  const replaces = job.log.issued.length === 0 ? '' : ', in place of the ones before it';
  return [
    ['Job', `${input.job}, revision ${input.revision}${replaces}`],
    ['Owner', described?.owner ?? ''],
    ['Van', van.filter((part) => part !== '').join(', ')],
    ['Installed', installed(circuit)],
    ['Cord', `${unitsFirst(cordText(circuit), input.units)}: it belongs to the van; use no other`],
    ['Tested', readingCount(job, input.zone)],
    ...firstReCheck(job).map((said): [string, string] => ['First re-check', said]),
    ['By', `${fitter}, ${checker}${described?.place ? `, at ${described.place}` : ''}`],
    ['Issued', `${spelledTime(input.issuedAt, input.zone, true)}, by ${input.issuedBy}, ${input.shop}`],
    ...(input.reach ? [['Questions to', `${input.shop}, ${input.reach}`] as [string, string]] : []),
  ];
}

function installed({ inlet, breaker, run }: Circuit): string {
  const first = run.find((o) => o.device === 'gfci-receptacle');
  const outlets = run.length === 1 ? '1 outlet' : `${run.length} outlets`;
  const device = first === undefined ? '' : `, the ground-fault receptacle at ${first.place}`;
  return `${inlet.amps} A inlet, ${words.side[inlet.side]}; ${breaker.amps} A breaker, ${breaker.place}; ${outlets}${device}`;
}

/** What a reader must not miss, one sentence each. */
function pageOne(job: Assessment, input: RecordInput): string[] {
  const first = job.circuit.run[0];
  const invented = job.log.described?.vehicle.invented
    ? ['The van, the people and the figures in this record are invented.']
    : [];
  const alone = input.worksAlone
    ? ['The fitter worked alone: no second person looked at the work, and who did it also checked it.']
    : [];
  const elsewhere =
    input.elsewhere === undefined
      ? []
      : [
          `Of the ${job.log.entries.length} entries of its logbook ${input.elsewhere.entries === 1 ? '1 was' : `${input.elsewhere.entries} were`} written in another shop, by ${listText(input.elsewhere.names)}. ${input.shop} took the logbook over as it was, and answers for its own entries.`,
        ];
  const key = input.keyForOccasion
    ? [
        'Signed with a key made for the occasion: the signature shows that the file is unchanged, not who made it.',
      ]
    : [];
  const neutral =
    first === undefined ? [] : [`${lostNeutral(first)}${neutralRule(job)}${neutralDecision(job)}`];
  return [
    ...invented,
    ...concededLines(job, input.zone),
    ...alone,
    ...elsewhere,
    ...key,
    ...otherSources(job.circuit),
    ...neutral,
    insulation(job),
    ...underLoad(job),
    supplysGround,
    ...leftOut(job),
  ];
}

/** Whoever opens the van later takes the cord out and the breaker off, and thinks it dead. */
function otherSources({ otherSources: sources }: Circuit): string[] {
  if (sources.length === 0) return [];
  const each = sources.map(
    (s) => `${words.otherSource[s.kind]} (kept off the inlet by ${words.keptOff[s.keptOff]})`,
  );
  return [
    `Another 120 V source is in the van: ${listText(each)}. Cord out and breaker off do not stop it: switch it off at its own disconnect.`,
  ];
}

function lostNeutral({ place, openNeutral }: Circuit['run'][number]): string {
  return openNeutral === 'unknown'
    ? `It is not known what the first device (${place}) does when the neutral is lost: take it that it stays closed.`
    : `The first device (${place}) ${words.openNeutral[openNeutral]}.`;
}

function neutralRule(job: Assessment): string {
  const first = job.circuit.run[0];
  if (job.circuit.vehicleUse !== 'living-quarters' || first?.openNeutral === 'opens') return '';
  return ' For living quarters on one circuit the rule as we know it (from memory, check your edition) asks for a device that opens then too.';
}

/** What was decided about a lost neutral, in the words of the step, and by whom. */
function neutralDecision(job: Assessment): string {
  const standing = job.steps.get('device-chosen');
  const chosen = standing?.done?.body.answers['open-neutral'];
  const by = standing?.done?.body.answers['decided-by'];
  if (standing === undefined || chosen === undefined) return '';
  const ask = standing.step.asks.find((a) => a.id === 'open-neutral');
  const who = by?.kind === 'person' ? `Decided by ${by.name}` : 'Decided';
  return ` ${who}: “${answerText(ask, chosen)}”.`;
}

/** How the readings stand, counted in words, and from when they are. */
function readingCount(job: Assessment, zone: TimeZone): string {
  const all = [...job.readings.values()].filter((r) => r.planned.required || r.taken !== undefined);
  const days = [
    ...new Set(all.flatMap((r) => (r.taken === undefined ? [] : localDay(r.taken.at, zone)))),
  ].sort();
  const count = (verdict: string) => all.filter((r) => r.verdict === verdict).length;
  const rest = (['unproven', 'fail', 'missing'] as const)
    .filter((verdict) => count(verdict) > 0)
    .map((verdict) => `${count(verdict)} ${verdict}`);
  const taken =
    days.length === 0
      ? []
      : [
          days.length === 1
            ? `taken ${spelledDay(days[0]!)}`
            : `taken ${spelledDay(days[0]!)} to ${spelledDay(days.at(-1)!)}`,
        ];
  // Lamps are looked at and judged by nothing: counted among the others they would look like readings that did not pass.
  const noted = count('noted') === 0 ? [] : [`${count('noted')} more that no limit judges`];
  const judged = all.length - count('noted');
  return [`${count('pass')} of ${judged} readings pass`, ...rest, ...noted, ...taken].join(', ');
}

const testsInsulation = ({ asks }: Step) =>
  asks.some((ask) => ask.kind === 'value' && ask.instrument === 'insulation-tester');

/** Whether the cable's insulation was tested at voltage: only where a step that asks for the tester was done. */
function insulation(job: Assessment): string {
  const tested = [...job.steps.values()].some(
    ({ step, status, done }) => status === 'done' && done !== undefined && testsInsulation(step),
  );
  return tested
    ? 'Isolation was proven by ohmmeter, and the insulation was tested at voltage.'
    : 'Isolation was proven by ohmmeter; the insulation was not tested at voltage.';
}

/** The outlets whose slots carried no load while they were read: a contact that is poor there reads like a good one. */
function underLoad({ circuit, readings }: Assessment): string[] {
  const without = circuit.run.filter((o) => readings.get(`loaded.hot-neutral.${o.id}`)?.taken === undefined);
  return without.length === 0
    ? []
    : [
        `Nothing was read under load at ${listText(without.map((o) => `${placeWords(circuit, `outlet:${o.id}`)} (${o.place})`))}: a poor contact there would not have shown.`,
      ];
}

/** A voltmeter takes next to no current: through many ohms, or a rod in the soil, it shows what it shows through a good ground. */
const supplysGround =
  'What a supply’s ground can carry was not measured: its volts may be right where a fault to ground opens no breaker.';

/** The steps that are not done, or open again, though nothing asks for them; of the insulation it is said beside the isolation. */
function leftOut(job: Assessment): string[] {
  const titles = [...job.steps.values()].flatMap(({ step, status }) =>
    step.conditional === undefined || status === 'done' || testsInsulation(step)
      ? []
      : [`${step.number} ${step.title}`],
  );
  return titles.length === 0 ? [] : [`Not done, and not required: ${listText(titles)}.`];
}

/** When it is looked at again for the first time, and by whom, as it was set for the owner; nothing where it was not. */
export function firstReCheck(job: Assessment): string[] {
  const said = job.steps.get('re-check-set')?.done?.body.answers.date;
  return said?.kind === 'note' ? [shortened(said.text, mostOnPageOne)] : [];
}

/** Letters of a person's note that page one repeats: two lines. What is longer stands in full at its step. */
const mostOnPageOne = 180;

function shortened(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most - 1).trimEnd()}…`;
}

/** The concessions that stand now, in the order in which they were granted. */
export function standingConcessions(job: Assessment): EntryOf<'concession granted'>[] {
  return [...job.sheet, ...job.steps.values(), ...job.readings.values()]
    .flatMap((s) => s.concession ?? [])
    .sort((a, b) => a.seq - b.seq);
}

/** Each concession that stands: what was let stand, why, by whom and when. */
export function concededLines(job: Assessment, zone: TimeZone): string[] {
  return standingConcessions(job).map(
    (entry) =>
      `Conceded: ${subjectTitle(job, entry.subject)}. “${entry.body.reason}” Granted by ${entry.by.name}, ${dayOf(entry.at, zone)}.`,
  );
}

/** What an entry is about, as a person reads it: "T5 Outlet 2, LINE screws", "Voltage drop to outlet 3". */
export function subjectTitle(job: Assessment, subjectText: string): string {
  const subject = parseSubject(subjectText);
  if (subject === undefined) return subjectText;
  if (subject.of === 'job') return 'the job';
  if (subject.of === 'place') return placeWords(job.circuit, subject.id);
  if (subject.of === 'sheet') {
    const found = job.sheet.find((s) => s.line.id === subject.id)?.line;
    return found ? `${found.title}, ${found.value} against ${found.limit}` : subject.id;
  }
  if (subject.of === 'step') {
    const found = job.steps.get(subject.id)?.step;
    return found ? `${found.number} ${found.title}` : subject.id;
  }
  const found = job.readings.get(subject.id)?.planned;
  return found ? `${found.code} ${found.title}` : subject.id;
}
