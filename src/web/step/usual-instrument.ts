import type { FastifyRequest } from 'fastify';
import { calibrationOver } from '../../logbook/calibration.js';
import type { EntryBody } from '../../logbook/entry.js';
import type { Instrument } from '../../logbook/fold-shop.js';
import { instrumentsNamed } from '../../logbook/instrument-snapshot.js';
import type { JobLog } from '../../logbook/job-log.js';
import { lastWritten } from '../../store/last-used.js';
import type { Store } from '../../store/open-store.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { dayText } from '../words/job-words.js';

/** Who asks, in which job, and when (UTC, ISO 8601). */
export interface Asking {
  readonly store: Pick<Store, 'db'>;
  readonly log: JobLog;
  readonly person: string;
  readonly now: string;
}

type Given = EntryBody<'reading taken'> | EntryBody<'step done'>;

/** The one who asks a page, in whose job, now. */
export function askingFor(request: FastifyRequest, { store, clock }: Services, log: JobLog): Asking {
  return { store, log, person: requirePerson(request).id, now: clock().toISOString() };
}

/**
 * The instruments on the shelf that can show what is asked, as the lines of a list to choose from, the likeliest first: what this person
 * used last in this job, else anywhere; what is out of its calibration comes last, whoever used it.
 */
export function instrumentOptions(
  all: readonly Instrument[],
  canShow: (i: Instrument) => boolean,
  asking: Asking,
) {
  const usable = all.filter((i) => !i.retired && i.questioned === undefined && canShow(i));
  const last = lastUsed(usable, asking);
  const rank = (i: Instrument) => (calibrationOver(i.due, asking.now) ? 2 : i.id === last ? 0 : 1);
  return usable.sort((a, b) => rank(a) - rank(b)).map((i) => optionOf(i, asking));
}

function optionOf(i: Instrument, { now }: Asking) {
  const over = calibrationOver(i.due, now) ? `, calibration ran out ${dayText(i.due ?? '')}` : '';
  return { value: i.id, label: `${i.name}, serial ${i.serial}${over}` };
}

function lastUsed(usable: readonly Instrument[], { store, log, person }: Asking): string | undefined {
  const among = (bodies: readonly Given[]) =>
    bodies.flatMap(instrumentsIn).find((id) => usable.some((i) => i.id === id));
  const here = log.entries.filter((e) => e.by.id === person).reverse();
  const inJob = here.flatMap((e) => (e.kind === 'reading taken' || e.kind === 'step done' ? [e.body] : []));
  return (
    among(inJob) ??
    among([...lastWritten(store.db, person, 'reading taken'), ...lastWritten(store.db, person, 'step done')])
  );
}

function instrumentsIn(body: Given): string[] {
  if ('shown' in body) return body.instrument === undefined ? [] : [body.instrument.id];
  return instrumentsNamed(body.answers);
}
