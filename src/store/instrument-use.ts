import type { Result } from '../errors.js';
import { isFrom } from '../logbook/calibration.js';
import type { Author, Entry, NewEntry } from '../logbook/entry.js';
import type { ShopEntry } from '../logbook/fold-shop.js';
import { sha256Of } from '../logbook/sha256.js';
import { accept } from '../steps/accept.js';
import { givenBy, isMisdated } from '../steps/instrument-doubts.js';
import type { Asker } from '../steps/proposal.js';
import type { Store } from './open-store.js';
import type { ShopAppend } from './shop-store.js';

/** What an instrument gave in one job: its readings, and the steps with a value that it measured, oldest first. */
interface InstrumentUse {
  readonly job: string;
  readonly given: readonly Entry[];
}

/**
 * Everything that an instrument may have given from a day on ("2026-03-04", UTC; all where none is said), job by job, newest job first.
 * What was written behind an entry of that day is later than it, whatever a clock that was set back says; and what is dated before the
 * instrument was calibrated may be of any day.
 */
export function instrumentUse({ db, logbook }: Store, instrument: string, from = ''): InstrumentUse[] {
  const jobs = db
    .prepare(
      `SELECT DISTINCT job FROM entries
       WHERE kind IN ('reading taken', 'step done') AND instr(body, ?) > 0 ORDER BY job DESC`,
    )
    .pluck()
    .all(JSON.stringify(instrument)) as string[];
  return jobs.flatMap((job) => {
    const entries = logbook.entries(job);
    const first = entries.findIndex((e) => isFrom(from, e.at));
    const given = entries.filter(
      (e, k) => givenBy(e, instrument) && ((first >= 0 && k >= first) || isMisdated(e, instrument)),
    );
    return given.length === 0 ? [] : [{ job, given }];
  });
}

/** What the keeper found about an instrument: from which day on it does not tell the truth, and how that is known. */
interface InstrumentFinding {
  readonly by: Asker;
  readonly instrument: { readonly id: string; readonly name: string; readonly serial: string };
  readonly from: string;
  readonly reason: string;
  readonly form: NonNullable<ShopAppend['form']>;
}

/**
 * Writes a finding into the shop's chain, and into the logbook of every job where the instrument gave something from that day
 * on: all of it, or none. Nothing that it gave is rewritten; each job judges it anew.
 */
export function questionInstrument(store: Store, finding: InstrumentFinding): Result<readonly ShopEntry[]> {
  const { by, instrument, from, reason, form } = finding;
  const author: Author = { id: by.id, name: by.name };
  return store.shop.append({
    by: author,
    form,
    decide: () => ({
      ok: true,
      value: [{ kind: 'instrument questioned', subject: instrument.id, body: { from, reason } }],
    }),
    also: () => {
      for (const { job, given } of instrumentUse(store, instrument.id, from)) {
        const { id, name, serial } = instrument;
        const entry: NewEntry = {
          kind: 'instrument questioned',
          subject: 'job',
          body: { instrument: { id, name, serial }, from, reason, entries: given.map((e) => e.seq) },
        };
        const written = store.logbook.append({
          job,
          // A key writes in one chain: each job gets one made of the form's.
          key: sha256Of(`${form.key}\n${job}`),
          by: author,
          content: form.content,
          decide: (log) => accept(log, entry, { by, people: [] }),
        });
        if (!written.ok) throw new Error(`the finding was refused in job ${job}`);
      }
    },
  });
}
