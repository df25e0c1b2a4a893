import type { FastifyRequest } from 'fastify';
import type { Shop, ShopEntry } from '../../logbook/fold-shop.js';
import { zoneWords } from '../../logbook/time-zone.js';
import { dayText } from '../words/job-words.js';
import { sentMark } from './drawn-from.js';
import { type Refusal, refuseWritten, whoAndWhen } from './meanwhile.js';
import { pathOf } from './own-path.js';

/** Asked where a person, an instrument or the shop itself is changed: a refusal where that was changed since the page was drawn. */
export function refuseChanged(
  request: FastifyRequest,
  { entries }: Pick<Shop, 'entries'>,
  subject: string,
): Refusal | undefined {
  const newest = entries.at(-1)?.seq ?? 0;
  const said = sentMark(request)?.seq ?? newest;
  const seen = said <= newest ? said : 0;
  const since = entries.flatMap((entry) => {
    const lines = entry.seq > seen && entry.subject === subject ? shopWords(entry) : undefined;
    const href = pathOf(request.url);
    return lines === undefined ? [] : [{ ...whoAndWhen(request, entry), href, what: entry.kind, lines }];
  });
  return refuseWritten(request, since);
}

/** What a change of a person, an instrument or the shop left behind it; undefined for what no form of theirs would undo. */
function shopWords({ kind, body }: ShopEntry): string[] | undefined {
  switch (kind) {
    case 'person changed':
      return [`${body.name}, ${body.roles.join(', ')}, ${body.active ? 'active' : 'retired'}`];
    case 'instrument changed': {
      const until = body.due === undefined ? '' : `, holds until ${dayText(body.due)}`;
      return [
        `${body.name}, serial ${body.serial}, calibrated ${dayText(body.calibrated)}${until}, ${body.retired ? 'off the shelf' : 'on the shelf'}`,
      ];
    }
    case 'instrument questioned':
      return [`Found not to tell the truth from ${dayText(body.from)} on: ${body.reason}`];
    case 'shop named':
      return [
        `${body.name}${body.place === '' ? '' : `, ${body.place}`}, ${body.units}, ${zoneWords(body.zone ?? 'UTC')}`,
      ];
    default:
      return undefined;
  }
}
