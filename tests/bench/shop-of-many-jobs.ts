import { createHash } from 'node:crypto';
import { chainStart, seal } from '../../src/logbook/chain.js';
import type { Entry } from '../../src/logbook/entry.js';
import { foldJob } from '../../src/logbook/job-log.js';
import { lastHead } from '../../src/store/heads.js';
import { writeHeads } from '../../src/store/heads-file.js';
import { headsName } from '../../src/store/open-beside.js';
import type { Store } from '../../src/store/open-store.js';
import { played } from '../steps/played.js';

const entriesEach = 20;
const owners = ['Odile Brandt', 'Zoë Marl', 'Jory Pell', 'Ama Teasel', 'Bram Quill', 'Wen Hask', 'Lida Orne'];

/** The number of the k-th job, from 1. */
export const numberOf = (k: number) => `2026-${String(k).padStart(3, '0')}`;
/** A plate that no other job has. */
export const plateOf = (k: number) => `QZ ${String((k * 48_271) % 1_000_003).padStart(6, '0')}`;

/** Fills an empty store with jobs of 20 entries each, sealed and chained as the pages would, without their gate. */
export function makeManyJobs({ db, dir, lines, transact }: Store, count: number): void {
  const template = played()
    .filter((e) => e.kind !== 'photo added')
    .slice(0, entriesEach);
  const job = db.prepare('INSERT INTO jobs (number, opened_at) VALUES (?, ?)');
  const row = db.prepare(
    `INSERT INTO entries (job, seq, at, by_id, by_name, kind, subject, body, form_key, previous, digest)
     VALUES (@job, @seq, @at, @byId, @byName, @kind, @subject, @body, @key, @previous, @digest)`,
  );
  const head = db.prepare('INSERT INTO heads (n, chain, seq, digest, head) VALUES (?, ?, ?, ?, ?)');
  const bodies = new Map(template.map((e) => [e.body as object, JSON.stringify(e.body)]));
  let { n, head: newest } = lastHead(db) ?? { n: 0, head: chainStart };
  for (let done = 0; done < count; done += 500)
    transact(() => {
      for (let k = done + 1; k <= Math.min(count, done + 500); k += 1) {
        const number = numberOf(k);
        const entries: Entry[] = [];
        for (const [m, told] of template.entries()) {
          const at = new Date(Date.UTC(2026, 0, 1) + k * 60_000 + m).toISOString();
          const body = told.kind === 'job described' ? describedAs(told.body, k) : told.body;
          const { kind, subject, by } = told;
          const sealed = seal({ job: number, at, by, kind, subject, body, key: `made-${m}` }, entries.at(-1));
          entries.push(sealed as unknown as Entry);
        }
        job.run(number, entries[0]?.at);
        for (const e of entries) {
          row.run({
            ...e,
            byId: e.by.id,
            byName: e.by.name,
            body: bodies.get(e.body) ?? JSON.stringify(e.body),
          });
          newest = createHash('sha256').update(`${newest}${e.digest}`).digest('hex');
          n += 1;
          head.run(n, number, e.seq, e.digest, newest);
        }
        lines.put(number, foldJob(entries));
      }
    });
  writeHeads(db, `${dir}/${headsName}`);
}

function describedAs(body: Extract<Entry, { kind: 'job described' }>['body'], k: number): typeof body {
  const vehicle = { ...body.vehicle, plate: plateOf(k), description: `Van ${k % 97}, a high-roof panel van` };
  return { ...body, vehicle, owner: owners[k % owners.length] as string };
}
