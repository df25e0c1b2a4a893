import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { canonicalJson, type Json } from '../../src/logbook/canonical.js';
import { chainStart, type Link, seal } from '../../src/logbook/chain.js';
import type { Entry } from '../../src/logbook/entry.js';
import { foldJob } from '../../src/logbook/job-log.js';
import type { JobLine } from '../../src/steps/job-line.js';
import type { Sql } from '../../src/store/database.js';
import { headOver, lastHead, shopChain } from '../../src/store/heads.js';
import { writeHeads } from '../../src/store/heads-file.js';
import { searchWords } from '../../src/store/job-search.js';
import { headsName } from '../../src/store/open-beside.js';
import type { Store } from '../../src/store/open-store.js';
import { readEntries, readShopEntries } from '../../src/store/sealed-entries.js';
import { fitter, played } from '../steps/played.js';
import { behindGuards } from '../store/behind-guards.js';

const owners = ['Odile Brandt', 'Zoë Marl', 'Jory Pell', 'Ama Teasel', 'Bram Quill', 'Wen Hask', 'Lida Orne'];
/** One job in so many is sealed, folded and computed by the program itself, and holds the others to it. */
const heldTo = 1000;

/** The number of the k-th job, from 1. */
export const numberOf = (k: number) => `2026-${String(k).padStart(3, '0')}`;
/** A plate that no other job has. */
export const plateOf = (k: number) => `QZ ${String((k * 48_271) % 1_000_003).padStart(6, '0')}`;
/** When the m-th entry of the k-th job was written. */
export const writtenAt = (k: number, m: number) =>
  new Date(Date.UTC(2026, 0, 1) + k * 60_000 + m).toISOString();

/**
 * Adds jobs of so many entries each to a store that has none, sealed, chained and told of in the shop's logbook as the pages
 * would, without their gate: whoever looks through the store finds nothing.
 */
export function makeManyJobs(store: Store, size: { readonly jobs: number; readonly entries: number }): void {
  const { db, dir } = store;
  // One transaction that flushes nothing and guards no row. No page was there before, so its journal is small and fits into memory, whatever
  // spills goes to its place at once, and what breaks off is made anew.
  db.pragma('synchronous = OFF');
  db.pragma('journal_mode = MEMORY');
  // The two indexes of digests grow in no order, to 4.5 GB for 20 million entries: where they do not fit, every entry waits for the disk.
  db.pragma('cache_size = -10000000');
  const make = jobMaker(store, templateOf(size.entries));
  const makeAll = db.transaction(() => {
    for (let k = 1; k <= size.jobs; k += 1) make(k);
  });
  behindGuards(db, () => makeAll.immediate());
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  writeHeads(db, `${dir}/${headsName}`);
}

function jobMaker({ db, lines }: Store, template: readonly Entry[]): (k: number) => void {
  const by = { id: fitter.id, name: fitter.name };
  const job = db.prepare('INSERT INTO jobs (number, opened_at) VALUES (?, ?)');
  const opening = db.prepare(
    `INSERT INTO shop_entries (seq, at, by_id, by_name, kind, subject, body, previous, digest)
     VALUES (?, ?, ?, ?, 'job opened', ?, ?, ?, ?)`,
  );
  const entry = db.prepare(
    `INSERT INTO entries (job, seq, at, by_id, by_name, kind, subject, body, form_key, previous, digest)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  );
  const head = db.prepare('INSERT INTO heads (n, chain, seq, digest, head) VALUES (?, ?, ?, ?, ?)');
  const texts = template.map(textsOf);
  const putLine = lineMaker(db);
  let { n, head: newest } = lastHead(db) ?? { n: 0, head: chainStart };
  let lastOpening: Link | undefined = readShopEntries(db, 1)[0];
  const cover = (chain: string, seq: number, digest: string) => {
    newest = headOver(newest, digest);
    n += 1;
    head.run(n, chain, seq, digest, newest);
  };
  return (k) => {
    const number = numberOf(k);
    const body = { job: number };
    const opened = seal({ at: writtenAt(k, 0), by, kind: 'job opened', subject: number, body }, lastOpening);
    lastOpening = opened;
    const { seq, at, previous: before, digest: after } = opened;
    job.run(number, at);
    opening.run(seq, at, by.id, by.name, number, JSON.stringify(body), before, after);
    cover(shopChain, seq, after);
    let previous = chainStart;
    for (const [m, told] of template.entries()) {
      const at = writtenAt(k, m);
      const text =
        told.kind === 'job described' ? textsOf({ ...told, body: describedAs(told.body, k) }) : texts[m]!;
      const digest = createHash('sha256')
        .update(
          `{"at":"${at}","body":${text.sealed},"by":${text.by},"job":"${number}","key":"made-key-${m}","kind":"${told.kind}","previous":"${previous}","seq":${m + 1},"subject":"${told.subject}"}`,
        )
        .digest('hex');
      const { id, name } = told.by;
      entry.run(
        number,
        m + 1,
        at,
        id,
        name,
        told.kind,
        told.subject,
        text.body,
        `made-key-${m}`,
        previous,
        digest,
      );
      cover(number, m + 1, digest);
      previous = digest;
    }
    if (k % heldTo === 1) {
      const entries = readEntries(db, number);
      const { seq: _, previous: __, digest: ___, ...last } = entries.at(-1) as Entry & { previous: string };
      assert.equal(seal(last, entries.at(-2) as never).digest, previous);
      lines.put(number, foldJob(entries));
    }
    putLine(k, writtenAt(k, template.length - 1));
  };
}

/** An entry's parts as its digest covers them and as its row keeps them. */
function textsOf({ body, by }: Pick<Entry, 'body' | 'by'>) {
  return {
    sealed: canonicalJson(body as unknown as Json),
    by: canonicalJson({ id: by.id, name: by.name }),
    body: JSON.stringify(body),
  };
}

/** A row of job_lines. */
interface KeptLine {
  readonly id: number;
  readonly job: string;
  readonly words: string;
  readonly line: string;
}

/** Lines of jobs that were made alike differ by who and what alone: computing each takes a hundred times as long as sealing an entry. */
function lineMaker(db: Sql): (k: number, at: string) => void {
  const lineOf = db.prepare('SELECT * FROM job_lines WHERE job = ?');
  const put = db.prepare(
    `INSERT INTO job_lines (job, at, logic, words, standing, held, issued, in_question, line)
     VALUES (@job, @at, @logic, @words, @standing, @held, @issued, @in_question, @line) RETURNING id`,
  );
  const putWords = db.prepare('INSERT INTO job_words (rowid, words) VALUES (?, ?)');
  let first: KeptLine | undefined;
  return (k, at) => {
    const computed = lineOf.get(numberOf(k)) as KeptLine | undefined;
    first ??= computed as KeptLine;
    const told: JobLine = { ...(JSON.parse(first.line) as JobLine), ...aboutJob(k) };
    const words = searchWords(numberOf(k), told);
    const made = { ...first, job: numberOf(k), at, words, line: JSON.stringify(told) };
    if (computed === undefined) putWords.run((put.get(made) as { id: number }).id, words);
    else assert.deepEqual({ ...computed, id: 0 }, { ...made, id: 0 });
  };
}

/** The first entries of a played job, without photos; where more are asked for, its last reading taken again and again. */
function templateOf(count: number): Entry[] {
  const all = played().filter((e) => e.kind !== 'photo added');
  const reading = all.findLast((e) => e.kind === 'reading taken') as Entry;
  const again = Array.from({ length: Math.max(0, count - all.length) }, () => reading);
  return [...all, ...again].slice(0, count);
}

/** What is told of the k-th job and of no other. */
function aboutJob(k: number) {
  const owner = owners[k % owners.length] as string;
  return { vehicle: `Van ${k % 97}, a high-roof panel van`, plate: plateOf(k), owner };
}

function describedAs(body: Extract<Entry, { kind: 'job described' }>['body'], k: number): typeof body {
  const { vehicle: description, plate, owner } = aboutJob(k);
  return { ...body, vehicle: { ...body.vehicle, plate, description }, owner };
}
