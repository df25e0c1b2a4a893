import { beforeAll, describe, expect, test } from 'vitest';
import { circuitSchema } from '../../src/circuit/circuit.js';
import type { EntryOf } from '../../src/logbook/entry.js';
import { foldJob } from '../../src/logbook/job-log.js';
import { type RecordDocument, recordDocument } from '../../src/record/document.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { assess } from '../../src/steps/assess.js';
import type { Assessment } from '../../src/steps/assessment.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { filesIn, runTool } from '../record/outside-tool.js';
import { type DrawnRow, watchTables } from '../record/page-layout.js';
import { photoBytes, sampleJob } from '../record/sample-job.js';
import { sampleInput } from '../record/sample-record.js';
import { played } from '../steps/played.js';

/** Where poppler's pdftotext finds every word on the pages of a record: nothing outside its margins, nothing over anything else. */

interface Word {
  readonly text: string;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

const longest = 'Wzdłużnica-Überschallgeschwindigkeitsprüfstand-Ñandú-Œuvre der Werkstatt am Ende der Gasse';

interface Wish {
  readonly outlets: number;
  /** As many as the job takes on its way, or another number, laid on its steps in turn. */
  readonly photos: number | 'as taken';
  readonly name: string;
  readonly units: 'metric' | 'imperial';
}

async function recordOf({
  outlets,
  photos,
  name,
  units,
}: Wish): Promise<{ pages: Word[][]; names: Set<string>; rows: DrawnRow[] }> {
  const demo = demoCircuit();
  const run = Array.from({ length: outlets }, (_, k) => ({
    ...demo.run[Math.min(k, 2)]!,
    id: `out${k + 1}`,
    feed: { ...demo.run[1]!.feed, lengthM: 0.5 },
    place: `${name === 'Marginalia' ? 'bench' : name.slice(0, 60)} ${k + 1}`,
    loads: [
      { name: `${name.slice(0, 40)} lamp ${k + 1}`, watts: 60 + k, continuous: false, fastened: false },
    ],
  }));
  const circuit = circuitSchema.parse({ ...demo, run, together: [] });
  await sampleJob();
  const picture = [...photoBytes.values()][0]!;
  const job = assess(foldJob(played(circuit)))!;
  expect(job.barsIssue).toEqual([]);
  const log = { ...job.log, photos: photosOf(job, photos) };
  const input = {
    ...sampleInput,
    shop: name,
    units,
  };
  const record = recordDocument({ ...job, log }, input);
  const watch = watchTables();
  const pdf = await drawPdf(record, () => picture, []);
  watch.end();
  return {
    rows: watch.rows,
    pages: wordsOf(runTool('pdftotext', ['-bbox', filesIn({ pdf }).pdf, '-']).text),
    names: tableNames(record),
  };
}

/** The heads of the tables and the names of their groups, as they read when they stand alone on a line. */
function tableNames({ sections }: RecordDocument): Set<string> {
  const tables = sections.flatMap(({ blocks }) => blocks.flatMap((b) => (b.kind === 'table' ? [b] : [])));
  return new Set(
    tables.flatMap(({ columns, rows }) => [
      columns.map((c) => c.head).join(' '),
      ...rows.flatMap((row) => ('group' in row ? [`${row.group} ${row.beside}`.trim()] : [])),
    ]),
  );
}

/** What stands lowest on a page above its foot, from left to right. */
function lastLine(page: readonly Word[], footer: number): string {
  const words = page.filter((w) => w.bottom < footer);
  const low = Math.max(...words.map((w) => w.bottom));
  return words
    .filter((w) => w.bottom > low - 3)
    .sort((a, b) => a.left - b.left)
    .map((w) => w.text)
    .join(' ');
}

function photosOf({ log }: Assessment, wanted: Wish['photos']): EntryOf<'photo added'>[] {
  if (wanted === 'as taken') return [...log.photos];
  return Array.from({ length: wanted }, (_, k): EntryOf<'photo added'> => {
    const taken = log.photos[k % log.photos.length]!;
    const photo = k.toString(16).padStart(64, '0');
    return { ...taken, body: { ...taken.body, photo, caption: k % 3 === 0 ? '' : taken.body.caption } };
  });
}

function wordsOf(text: string): Word[][] {
  return text
    .split('<page ')
    .slice(1)
    .map((page) =>
      [
        ...page.matchAll(
          /<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<\/word>/g,
        ),
      ].map(([, left, top, right, bottom, said]) => ({
        text: said!,
        left: Number(left),
        top: Number(top),
        right: Number(right),
        bottom: Number(bottom),
      })),
    );
}

/** Words in a row of a table that do not stand within one of its columns, the gap to the next kept free. */
function outOfColumn(words: readonly Word[], { lefts, top, bottom }: DrawnRow): string[] {
  const edges = [...lefts].sort((a, b) => a - b);
  return words
    .filter((w) => (w.top + w.bottom) / 2 > top && (w.top + w.bottom) / 2 < bottom)
    .filter((w) => {
      const column = edges.findLastIndex((left) => w.left > left - 1);
      const next = edges[column + 1] ?? Number.POSITIVE_INFINITY;
      return column < 0 || w.right > next - 4;
    })
    .map((w) => w.text);
}

/** The tables whose head stands at the foot of a page with only one of their several rows. */
function headsWithOneRow(rows: readonly DrawnRow[]): number[] {
  const heads = rows.filter((row) => row.isHead);
  return heads
    .filter(({ table, page }) => {
      const under = rows.filter((row) => row.table === table && !row.isHead);
      return under.length > 1 && under.filter((row) => row.page === page).length < 2;
    })
    .map(({ table }) => table);
}

/** Words that share more than a fifth of the smaller one's box. */
function overlaps(words: readonly Word[]): string[] {
  const area = (w: Word) => (w.right - w.left) * (w.bottom - w.top);
  return words.flatMap((a, k) =>
    words.slice(k + 1).flatMap((b) => {
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      const shared = wide > 0 && high > 0 ? (wide * high) / Math.min(area(a), area(b)) : 0;
      return shared > 0.2 ? [`“${a.text}” and “${b.text}”`] : [];
    }),
  );
}

describe.each([
  { outlets: 2, photos: 'as taken', name: 'Marginalia', units: 'imperial' },
  { outlets: 8, photos: 'as taken', name: 'Marginalia', units: 'metric' },
  { outlets: 12, photos: 'as taken', name: longest, units: 'imperial' },
  { outlets: 2, photos: 40, name: 'Marginalia', units: 'metric' },
  { outlets: 8, photos: 40, name: longest, units: 'imperial' },
  { outlets: 8, photos: 0, name: longest, units: 'imperial' },
  { outlets: 2, photos: 0, name: longest, units: 'metric' },
] satisfies Wish[])(
  'the pages of a job with $outlets outlets, photos: $photos, in $units units, named $name',
  (wish) => {
    const sheet = wish.units === 'metric' ? { right: 543, bottom: 820 } : { right: 560, bottom: 770 };
    const footer = sheet.bottom - 35;
    let pages: Word[][];
    let names: Set<string>;
    let rows: DrawnRow[];
    beforeAll(async () => {
      ({ pages, names, rows } = await recordOf(wish));
    });

    test('hold every word within their margins', () => {
      for (const page of pages)
        expect(
          page.filter((w) => w.left < 53 || w.right > sheet.right || w.top < 36 || w.bottom > sheet.bottom),
        ).toEqual([]);
    });

    test('set no word over another', () => {
      for (const page of pages) expect(overlaps(page)).toEqual([]);
    });

    test('keep every word of a table in its column', () => {
      expect(rows.length).toBeGreaterThan(100);
      expect(rows.flatMap((row) => outOfColumn(pages[row.page - 1]!, row))).toEqual([]);
    });

    test('begin no table with a single one of its rows', () => {
      expect(headsWithOneRow(rows)).toEqual([]);
    });

    test('leave no heading alone at a foot', () => {
      // What is cut out is set larger, on pages of its own.
      const cutOut = pages.findIndex((page) => page.some((w) => w.text === 'cut' && w.bottom - w.top > 18));
      const last = pages
        .slice(0, cutOut)
        .map((page) =>
          page.filter((w) => w.bottom < footer).reduce((low, w) => (w.bottom > low.bottom ? w : low)),
        );
      // Headings are set at 11 pt and more, everything that may stand last at 9.5 pt and less.
      expect(last.filter((w) => w.bottom - w.top > 14.5)).toEqual([]);
    });

    test('leave no head of a table and no name of a group alone at a foot', () => {
      expect(names.size).toBeGreaterThan(20);
      expect(pages.map((page) => lastLine(page, footer)).filter((line) => names.has(line))).toEqual([]);
    });

    test('number themselves to the end', () => {
      pages.forEach((page, k) => {
        const foot = page
          .filter((w) => w.top > footer)
          .map((w) => w.text)
          .join(' ');
        expect(foot).toContain(`page ${k + 1} of ${pages.length}`);
      });
    });
  },
);

describe('the pages of a job with a plan of eight sets, every name as long as it may be', () => {
  let pages: Word[][];
  beforeAll(async () => {
    const demo = demoCircuit();
    const named = (what: string, k: number) => `${what} ${k}: ${longest}`.slice(0, 60);
    const run = Array.from({ length: 8 }, (_, k) => ({
      ...demo.run[Math.min(k, 2)]!,
      id: `out${k + 1}`,
      feed: { ...demo.run[1]!.feed, lengthM: 0.5 },
      place: `${'Überschallprüfstand'.repeat(5).slice(0, 76)} ${k + 1}`,
      loads: Array.from({ length: k === 0 ? 9 : 2 }, (_, l) => ({
        name: named('lamp', 10 * k + l),
        watts: 40 + l,
      })),
    }));
    const together = Array.from({ length: 8 }, (_, s) => ({
      name: named('set', s + 1),
      loads: run.slice(0, s + 1).map((o) => ({ outlet: o.id, load: o.loads[0]!.name })),
    }));
    const circuit = circuitSchema.parse({ ...demo, run, together });
    await sampleJob();
    const picture = [...photoBytes.values()][0]!;
    const record = recordDocument(assess(foldJob(played(circuit)))!, sampleInput);
    const pdf = await drawPdf(record, () => picture, []);
    pages = wordsOf(runTool('pdftotext', ['-bbox', filesIn({ pdf }).pdf, '-']).text);
  });

  test('hold every word within their margins and over no other, and leave no card to cut out to a page of its own', () => {
    for (const page of pages) {
      expect(page.filter((w) => w.left < 53 || w.right > 560 || w.top < 36 || w.bottom > 770)).toEqual([]);
      expect(overlaps(page)).toEqual([]);
    }
    const cutOut = pages.find((page) => page.some((w) => w.text === 'cut' && w.bottom - w.top > 18))!;
    expect(cutOut.map((w) => w.text)).toContain('wallet');
    // What a card is for is cut where it ends, with its outlet named.
    expect(cutOut.map((w) => w.text).join(' ')).toMatch(/At outlet 2, \S+…/);
  });
});

describe('the pages of a job with notes of 4,000 characters', () => {
  const words = Array.from({ length: 500 }, (_, k) => `wört${String(k).padStart(3, '0')}`);
  const note = words.join(' ').slice(0, 4000);
  let pages: Word[][];
  beforeAll(async () => {
    const record = recordDocument(await sampleJob({ note }), sampleInput);
    const pdf = await drawPdf(record, (id) => photoBytes.get(id), []);
    pages = wordsOf(runTool('pdftotext', ['-bbox', filesIn({ pdf }).pdf, '-']).text);
  });

  test('hold every word of them, within the margins and over no other', () => {
    const printed = new Set(pages.flat().map((w) => w.text));
    expect(words.filter((word) => !printed.has(word))).toEqual([]);
    for (const page of pages) {
      expect(page.filter((w) => w.left < 53 || w.right > 560 || w.top < 36 || w.bottom > 770)).toEqual([]);
      expect(overlaps(page)).toEqual([]);
    }
  });
});
