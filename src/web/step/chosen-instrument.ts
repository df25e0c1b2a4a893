import type { FastifyRequest } from 'fastify';
import type { Result } from '../../errors.js';
import { isFrom } from '../../logbook/calibration.js';
import { foldShop, type Instrument, type ShopEntry } from '../../logbook/fold-shop.js';
import { filledInMs, inAddress, keyOf, one, typedOf } from '../page/form.js';
import { authorOf, contentOf } from '../page/page.js';
import type { Services } from '../services.js';
import { dayText } from '../words/job-words.js';

/**
 * The instrument that a form names, as it was when the form was filled in; undefined where it names none. One that was found out
 * since, while the form stood open or waited on a phone, is refused: the finding speaks of what was written before it alone.
 */
export function chosenInstrument(
  request: FastifyRequest,
  { store, clock }: Services,
): Result<Instrument | undefined> {
  const refuse = (message: string) => ({ ok: false, issues: [{ field: 'instrument', message }] }) as const;
  const id = one(typedOf(request), 'instrument');
  if (id === '') return { ok: true, value: undefined };
  const about = store.shop
    .state()
    .entries.filter(({ kind, subject }) => kind.startsWith('instrument ') && subject === id);
  const [now] = foldShop(about).instruments;
  if (now === undefined) return refuse('choose one of the list');
  const filledIn = filledInMs(request);
  const at = (filledIn === undefined ? clock() : new Date(filledIn)).toISOString();
  const [then = now] = filledIn === undefined ? [] : foldShop(about.filter((e) => e.at <= at)).instruments;
  const found = about.findLast(
    (e): e is ShopEntry & { kind: 'instrument questioned' } =>
      e.kind === 'instrument questioned' && (e.at > at || then.questioned?.at === e.at),
  );
  if (found === undefined || !isFrom(found.body.from, at)) return { ok: true, value: then };
  // Written before the finding, and sent again: that entry is among those that the finding speaks of.
  if (isWritten(request, store)) return { ok: true, value: then };
  return refuse(
    `${now.name} was found not to tell the truth from ${dayText(found.body.from)} on: take it again with another, and choose that one`,
  );
}

function isWritten(request: FastifyRequest, { logbook }: Services['store']): boolean {
  const form = {
    job: inAddress(request, 'job'),
    key: keyOf(request),
    by: authorOf(request),
    content: contentOf(request),
  };
  return logbook.writtenBefore(form) !== undefined;
}
