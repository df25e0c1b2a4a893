import { z } from 'zod';
import type { Result } from '../../errors.js';
import { endOfDay, localDay, type TimeZone } from '../../logbook/time-zone.js';
import type { Services } from '../services.js';
import { dayText, jobPath, whenText } from '../words/job-words.js';

const dayMs = 86_400_000;
const usualDays = 365;
const longestDays = 3 * 365;
const dayIn = (now: Date, days: number, zone: TimeZone) =>
  localDay(new Date(now.getTime() + days * dayMs).toISOString(), zone);

/** A link's last day as it was typed, to the last moment of it where the shop is. */
export function readLastDay(typed: string, now: Date, zone: TimeZone): Result<string> {
  const [first, last] = [dayIn(now, 0, zone), dayIn(now, longestDays, zone)];
  const message = !z.iso.date().safeParse(typed).success
    ? `must be a day such as ${dayIn(now, usualDays, zone)}`
    : typed < first
      ? 'is past already'
      : typed > last
        ? `may be ${last} at the latest: the owner can be given another then`
        : undefined;
  if (message !== undefined) return { ok: false, issues: [{ field: 'until', message }] };
  return { ok: true, value: endOfDay(typed, zone) };
}

/** The owner's links of a job for the page of its record, the newest first, and what the form for another begins with. */
export function ownerLinksModel({ store, clock }: Services, number: string, owner: string) {
  const now = clock();
  const shop = store.shop.state();
  const { zone } = shop;
  const all = shop.links.filter((link) => link.job === number);
  const links = all.toReversed().map((link) => {
    const next = all.find((other) => other.takesPlaceOf === link.tokenDigest);
    const openedMs = store.access.linkOpened(link.tokenDigest);
    const withdrawn = next === undefined ? 'withdrawn' : 'passed on';
    const open = link.withdrawn === undefined && link.expires > now.toISOString();
    return {
      digest: link.tokenDigest,
      heldBy: link.heldBy === '' ? 'No name was kept' : link.heldBy,
      made: `${whenText(link.at, zone)}, by ${link.by}`,
      until: whenText(link.expires, zone),
      opened: openedMs === undefined ? 'never' : whenText(new Date(openedMs).toISOString(), zone),
      open,
      state: open ? 'open' : link.withdrawn === undefined ? 'run out' : withdrawn,
      next: next?.heldBy ?? '',
    };
  });
  return {
    links,
    linkPlaces: links
      .filter((link) => link.open)
      .map((link) => ({ value: link.digest, label: `${link.heldBy}, until ${link.until}` })),
    linkUntil: dayIn(now, usualDays, zone),
    linkLast: dayText(dayIn(now, longestDays, zone)),
    linkFor: owner,
    linkAction: jobPath(number, 'link'),
    linkEnd: jobPath(number, 'link', 'withdrawal'),
  };
}
