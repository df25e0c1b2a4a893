import type { Assessment, DefectStanding } from '../../steps/assessment.js';
import {
  type Block,
  type Cell,
  heading,
  lines,
  muted,
  paragraph,
  type Section,
  strong,
  table,
  tableOr,
} from './block.js';
import { standingConcessions, subjectTitle } from './cover.js';
import { shownText } from './shown-text.js';
import { shortTime } from './when.js';

/** What went wrong and how it was put right: nothing that was written is left out. */
export function defectSection(job: Assessment): Section {
  return {
    title: 'Defects and mends',
    blocks: [
      tableOr('No defect was raised.', defectTable(job)),
      heading('Earlier readings'),
      paragraph('Readings that a later one replaced or that were struck as a slip.', 'muted'),
      tableOr('None.', earlierTable(job)),
      heading('Concessions'),
      tableOr('None was granted that still stands.', concessionTable(job)),
    ],
  };
}

function defectTable(job: Assessment): Block {
  return table(
    'Each defect: what was seen, what was suspected, found and done',
    [
      ['Entry', 2],
      ['What was seen', 8],
      ['Suspected', 7],
      ['Found and done', 8],
      ['By, when', 5],
    ],
    job.defects.map((d) => defectRow(d)),
  );
}

function defectRow({ defect, rework, status, title }: DefectStanding): Cell[] {
  const suspects = defect.body.suspects.slice(0, 3).map((s) => s.text);
  return [
    lines(strong(String(defect.seq))),
    lines(strong(title), defect.body.what, muted(status)),
    suspects.length === 0 ? lines(muted('nothing named')) : suspects.map((text) => ({ text })),
    rework
      ? lines(`Found: ${rework.body.found}`, `Done: ${rework.body.done}`)
      : lines(muted('its reading was struck as a slip')),
    lines(
      defect.by.name,
      muted(shortTime(defect.at)),
      rework?.by.name,
      rework && muted(shortTime(rework.at)),
    ),
  ];
}

function earlierTable(job: Assessment): Block {
  const replaced = [...job.readings.values()].flatMap((r) => r.earlier);
  const struck = [...job.log.struck.values()].flatMap((strike) => {
    const entry = job.log.entries.find((e) => e.seq === strike.body.reading);
    return entry?.kind === 'reading taken' ? [entry] : [];
  });
  const all = [...replaced, ...struck].sort((a, b) => a.seq - b.seq);
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
        subjectTitle(job, entry.subject),
        lines(strong(shownText(entry.body.shown))),
        strike ? `struck: ${strike.body.reason}` : 'taken again later',
        lines(entry.by.name, muted(shortTime(entry.at))),
      ];
    }),
  );
}

function concessionTable(job: Assessment): Block {
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
      lines(entry.by.name, muted(shortTime(entry.at))),
    ]),
  );
}
