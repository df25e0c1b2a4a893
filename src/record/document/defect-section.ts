import type { Entry, EntryOf } from '../../logbook/entry.js';
import { circuitAt } from '../../logbook/job-log.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import { type Assessment, type DefectStanding, earlierReadings } from '../../steps/assessment.js';
import { planOf } from '../../steps/plan-of.js';
import { seenBelow, subjectWords } from '../../steps/subject-words.js';
import {
  type Block,
  type Cell,
  heading,
  lines,
  list,
  muted,
  paragraph,
  type Section,
  strong,
  table,
  tableOr,
} from './block.js';
import { standingConcessions, subjectTitle } from './cover.js';
import type { RecordInput } from './record-input.js';
import { shownOnPaper } from './shown-text.js';
import { shortTime } from './when.js';

/** What went wrong and how it was put right: nothing that was written is left out. */
export function defectSection(job: Assessment, { zone }: RecordInput): Section {
  return {
    title: 'Defects and mends',
    blocks: [
      tableOr('No defect was raised.', defectTable(job, zone)),
      heading('Earlier readings'),
      paragraph('Readings that a later one replaced or that were struck as a slip.', 'muted'),
      tableOr('None.', earlierTable(job, zone)),
      ...goneSteps(job, zone),
      heading('Concessions'),
      tableOr('None was granted that still stands.', concessionTable(job, zone)),
    ],
  };
}

function defectTable(job: Assessment, zone: TimeZone): Block {
  return table(
    'Each defect: what was seen, what was suspected, found and done',
    [
      ['Entry', 2],
      ['What was seen', 8],
      ['Suspected', 7],
      ['Found and done', 8],
      ['By, when', 5],
    ],
    job.defects.map((d) => defectRow(d, zone)),
  );
}

function defectRow({ defect, rework, status, title }: DefectStanding, zone: TimeZone): Cell[] {
  const suspects = defect.body.suspects.slice(0, 3).map((s) => s.text);
  return [
    lines(strong(String(defect.seq))),
    lines(strong(title), seenBelow(title, defect.body.what), muted(status)),
    suspects.length === 0 ? lines(muted('nothing named')) : suspects.map((text) => ({ text })),
    rework
      ? lines(`Found: ${rework.body.found}`, `Done: ${rework.body.done}`)
      : lines(muted('its reading was struck as a slip')),
    lines(
      defect.by.name,
      muted(shortTime(defect.at, zone)),
      rework?.by.name,
      rework && muted(shortTime(rework.at, zone)),
    ),
  ];
}

function earlierTable(job: Assessment, zone: TimeZone): Block {
  const replaced = [...job.readings.values()].flatMap(earlierReadings);
  const struck = [...job.log.struck.values()].flatMap((strike) => {
    const entry = job.log.entries.find((e) => e.seq === strike.body.reading);
    return entry?.kind === 'reading taken' ? [entry] : [];
  });
  const all = [...replaced, ...struck, ...goneReadings(job)].sort((a, b) => a.seq - b.seq);
  return table(
    'Readings that no longer count',
    [
      ['Entry', 2],
      ['Reading', 9],
      ['Read', 5],
      ['Why it no longer counts', 8],
      ['By, when', 5],
    ],
    all.map((entry) => {
      const strike = job.log.struck.get(entry.seq);
      return [
        lines(strong(String(entry.seq))),
        titleThen(job, entry),
        lines(strong(shownOnPaper(entry.body.shown))),
        strike ? `struck: ${strike.body.reason}` : whyReplaced(job, entry),
        lines(entry.by.name, muted(shortTime(entry.at, zone))),
      ];
    }),
  );
}

/** Readings at what the circuit no longer has: they stay, and count for nothing. */
function goneReadings({ log, readings }: Assessment): EntryOf<'reading taken'>[] {
  return [...log.readings].flatMap(([subject, taken]) =>
    readings.has(subject.slice('reading:'.length)) ? [] : taken,
  );
}

function whyReplaced({ log, readings }: Assessment, entry: EntryOf<'reading taken'>): string {
  if (!readings.has(entry.subject.slice('reading:'.length))) return 'the circuit no longer calls for it';
  const later = log.readings.get(entry.subject)?.some((e) => e.seq > entry.seq);
  return later ? 'taken again later' : 'what it stood on changed after it';
}

/** What an entry was about by the circuit of its day: what is gone since has no other name. */
function titleThen({ log }: Assessment, entry: Entry): string {
  const circuit = circuitAt(log, entry.seq);
  return subjectWords(entry.subject, circuit && planOf(circuit));
}

/** Steps that were done and that the circuit no longer calls for, by what they were. */
function goneSteps(job: Assessment, zone: TimeZone): Block[] {
  const done = [...job.log.steps]
    .filter(([subject]) => !job.steps.has(subject.slice('step:'.length)))
    .flatMap(([, entries]) => entries.filter((e) => e.kind === 'step done').slice(-1));
  if (done.length === 0) return [];
  return [
    heading('Steps that are gone'),
    paragraph(
      'Done at what the circuit no longer has. They stay in the logbook, with their photos.',
      'muted',
    ),
    list(done.map((e) => `${titleThen(job, e)}: entry ${e.seq}, ${e.by.name}, ${shortTime(e.at, zone)}`)),
  ];
}

function concessionTable(job: Assessment, zone: TimeZone): Block {
  return table(
    'Each concession with its reason and who granted it',
    [
      ['Entry', 2],
      ['What was conceded', 9],
      ['Reason', 11],
      ['By, when', 5],
    ],
    standingConcessions(job).map((entry) => [
      lines(strong(String(entry.seq))),
      subjectTitle(job, entry.subject),
      entry.body.reason,
      lines(entry.by.name, muted(shortTime(entry.at, zone))),
    ]),
  );
}
