import type { FastifyRequest } from 'fastify';
import type { Issue } from '../../errors.js';
import type { NewEntry } from '../../logbook/entry.js';
import { one, overLong, typedOf } from '../page/form.js';
import type { Services } from '../services.js';
import { writeEntry } from './job-at.js';

/** An act that needs nothing but its reason: a concession, a reopening, a strike, a withdrawal. */
interface ReasonedAct {
  readonly job: string;
  /** The field that the reason is typed in; whatever is wrong with the act is said beside it. */
  readonly field: string;
  /** What is asked where the field was left empty, such as "say why it may stand". */
  readonly ask: string;
  /** How many characters the reason may have; 500 where nothing is said. */
  readonly most?: number;
  readonly entry: (reason: string) => NewEntry;
}

/** Reads the reason and writes the entry it belongs to. Answers with what must be mended, nothing where it was written. */
export async function writeReason(
  request: FastifyRequest,
  services: Services,
  act: ReasonedAct,
): Promise<Issue[]> {
  const { field, ask, most } = act;
  const reason = one(typedOf(request), field).trim();
  if (reason === '') return [{ field, message: ask }];
  const long = overLong(field, reason, most);
  if (long.length > 0) return long;
  const written = await writeEntry(request, services, act.job, act.entry(reason));
  return written.ok ? [] : written.issues.map(({ message }) => ({ field, message }));
}

/** The act by which somebody lets something stand that misses its limit. */
export function concessionOf(job: string, subject: string, field = 'concession'): ReasonedAct {
  const entry = (reason: string): NewEntry => ({ kind: 'concession granted', subject, body: { reason } });
  return { job, field, ask: 'say why it may stand', most: 1000, entry };
}
