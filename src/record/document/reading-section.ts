import { readingRow as pictureRow } from '../../drawing/reading-row.js';
import { readingsAgainstLimits } from '../../drawing/readings-against-limits.js';
import type { EntryOf, InstrumentSnapshot } from '../../logbook/entry.js';
import { instrumentsNamed } from '../../logbook/instrument-snapshot.js';
import { type InstrumentKind, instrumentKinds } from '../../logbook/shop-entry.js';
import { type TimeZone, zoneNote } from '../../logbook/time-zone.js';
import { type Assessment, earlierReadings, type ReadingStanding } from '../../steps/assessment.js';
import {
  type Block,
  type Cell,
  group,
  heading,
  lines,
  muted,
  paragraph,
  type Section,
  strong,
  table,
  tableOr,
} from './block.js';
import type { RecordInput } from './record-input.js';
import { shownOnPaper, uncertaintyText } from './shown-text.js';
import { spelledDay, writtenTimes } from './when.js';

const parts = [
  { stage: 'dead', title: 'Dead tests' },
  { stage: 'live', title: 'Live tests' },
  { stage: 'handover', title: 'At the handover' },
] as const;

/** Every reading beside what the circuit predicts and its limit, and the instruments that gave them. */
export function readingSection(job: Assessment, input: RecordInput): Section {
  const every = [...job.readings.values()];
  const all = every.filter((r) => r.planned.required || r.taken !== undefined);
  const left = every.filter((r) => !all.includes(r));
  return {
    title: 'Readings',
    blocks: [
      paragraph(
        `A reading passes only where the meter’s whole error leaves it within its limit. “Expected” is what this circuit predicts; ± is the meter’s error by its maker; OL is more than the meter’s range reaches. ${zoneNote(input.zone)}`,
        'muted',
      ),
      table(
        'The readings',
        [
          ['No.', 2],
          ['Reading', 9.4],
          ['Expected', 4.6],
          ['Limit', 7.6],
          ['Read', 5.5],
          ['Verdict', 3],
          ['By, with, when', 6.8],
        ],
        parts.flatMap(({ stage, title }) =>
          group(
            title,
            all.filter((r) => r.planned.stage === stage).map((r) => readingRow(r, input.zone)),
          ),
        ),
      ),
      ...(left.length === 0 ? [] : [paragraph(leftOut(left), 'muted')]),
      ...pictures(all),
      heading('Instruments'),
      tableOr('No instrument was named.', instrumentTable(job, input)),
    ],
  };
}

function leftOut(left: readonly ReadingStanding[]): string {
  return `Not required and not taken: ${left.map((r) => `${r.planned.code} ${r.planned.title}`).join('; ')}.`;
}

/** Half a page, so that a picture finds room behind the table before it. */
const mostOnPicture = 24;

/** The readings that were judged by number, drawn against their limits, not too many on a picture. */
function pictures(all: readonly ReadingStanding[]): Block[] {
  const scenes = (['ohms', 'volts'] as const).flatMap((quantity) => {
    const rows = all.flatMap((reading) => pictureRow(reading, quantity));
    const most = Math.ceil(rows.length / Math.ceil(rows.length / mostOnPicture));
    return rows.flatMap((_, k) =>
      k % most === 0
        ? [readingsAgainstLimits({ layout: 'paper', quantity, rows: rows.slice(k, k + most) })]
        : [],
    );
  });
  return scenes.length === 0
    ? []
    : [
        heading('The readings against their limits'),
        ...scenes.map((scene): Block => ({ kind: 'scene', scene })),
      ];
}

function readingRow(reading: ReadingStanding, zone: TimeZone): Cell[] {
  const { planned, taken, verdict, uncertainty, concession, remarks } = reading;
  const earlier = earlierReadings(reading).length;
  const instrument = taken?.body.instrument;
  return [
    lines(strong(planned.code)),
    lines(
      planned.title,
      ...remarks.map(muted),
      taken?.body.note ? muted(`“${taken.body.note}”`) : undefined,
      earlier > 0 ? muted(`${earlier} earlier, see Defects and mends`) : undefined,
    ),
    planned.expected.text,
    planned.limit?.text ?? 'none',
    taken === undefined
      ? lines(muted('not taken'))
      : lines(
          strong(shownOnPaper(taken.body.shown)),
          uncertainty === undefined ? undefined : muted(uncertaintyText(planned, uncertainty)),
        ),
    lines(verdict, concession && muted(`conceded by ${concession.by.name}`)),
    taken === undefined
      ? ''
      : lines(
          [taken.by.name, instrument?.serial ?? ''].filter((t) => t !== '').join(', '),
          ...writtenTimes(taken, zone),
        ),
  ];
}

function instrumentTable(job: Assessment, input: RecordInput): Block {
  const used = new Map<
    string,
    { kind: string; name: string; serial: string; calibrated: string; error: string }
  >();
  const steps = [...job.steps.values()].flatMap((s) => s.done?.body ?? []);
  const kept = [
    ...takenReadings(job).flatMap((taken) => taken.body.instrument ?? []),
    ...steps.flatMap(({ instruments }) => instruments ?? []),
  ];
  for (const i of kept) used.set(`${i.id} ${i.serial} ${i.calibrated}`, { ...i, error: errorText(i) });
  // A step that was written down before instruments were kept with it names its own by what the shop calls it by alone.
  const byName = steps
    .filter(({ instruments }) => instruments === undefined)
    .flatMap(({ answers }) => instrumentsNamed(answers));
  for (const i of input.instruments ?? [])
    if (byName.includes(i.id) && !used.has(`${i.id} ${i.serial} ${i.calibrated}`))
      used.set(`${i.id} ${i.serial} ${i.calibrated}`, { ...i, kind: i.kind ?? '', error: '' });
  return table(
    'The instruments by name, serial number, day of calibration and error',
    [
      ['Instrument', 6],
      ['Serial', 5],
      ['Calibrated', 5],
      ['Error by its maker', 9],
    ],
    [...used.values()].map((i) => [
      lines(strong(i.name), kindText(i.kind) === i.name ? undefined : muted(kindText(i.kind))),
      i.serial,
      spelledDay(i.calibrated),
      i.error === '' ? 'not stated' : i.error,
    ]),
  );
}

/** The kind in the words of the trade; one of a logbook that this version does not know, as it stands there. */
function kindText(kind: string): string {
  return Object.hasOwn(instrumentKinds, kind) ? instrumentKinds[kind as InstrumentKind] : kind;
}

function takenReadings(job: Assessment): EntryOf<'reading taken'>[] {
  return [...job.readings.values()].flatMap((r) => r.all);
}

function errorText({ ohms, volts }: InstrumentSnapshot): string {
  const say = (what: string, a: { percent: number; counts: number; resolution: number } | undefined) =>
    a === undefined
      ? ''
      : `${what} ${a.percent} % + ${a.counts} counts of ${a.resolution} ${what === 'ohms' ? 'Ω' : 'V'}`;
  return [say('ohms', ohms), say('volts', volts)].filter((t) => t !== '').join('; ');
}
