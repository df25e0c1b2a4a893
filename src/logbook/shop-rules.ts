import type { z } from 'zod';
import { issueSentence } from '../circuit/issue-sentence.js';
import type { Issue, Result } from '../errors.js';
import { foldSignIn, type Instrument, type Person, type Shop } from './fold-shop.js';
import { type NewShopEntry, type ShopBody, shopBodies } from './shop-entry.js';

/** A person to be added under an id of their own. The sign-in name must be nobody's, nor have been. */
export function addPerson(shop: Shop, id: string, proposed: unknown): Result<NewShopEntry[]> {
  const read = shopBodies['person added'].safeParse(proposed);
  if (!read.success) return { ok: false, issues: issuesOf(read.error.issues, proposed) };
  const body = read.data;
  const issues = signInIssues(body.signIn);
  if (issues.length === 0 && shop.people.some((p) => foldSignIn(p.signIn) === foldSignIn(body.signIn)))
    issues.push({ field: 'signIn', message: 'is or was the sign-in of another person; choose another' });
  if (issues.length > 0) return { ok: false, issues };
  return { ok: true, value: [{ kind: 'person added', subject: id, body }] };
}

/** What must be mended of a sign-in name as it is written, whoever else has one. */
export function signInIssues(signIn: string): Issue[] {
  return /^[\p{L}\p{N}][\p{L}\p{N}._-]{1,39}$/u.test(signIn.normalize('NFKC'))
    ? []
    : [{ field: 'signIn', message: 'takes 2 to 40 letters, digits, points, dashes or underscores' }];
}

/** A change of name, roles or standing. The shop always keeps one active person who is a keeper. */
export function changePerson(shop: Shop, id: string, proposed: unknown): Result<NewShopEntry[]> {
  const read = shopBodies['person changed'].safeParse(proposed);
  if (!read.success) return { ok: false, issues: issuesOf(read.error.issues, proposed) };
  const person = shop.people.find((p) => p.id === id);
  if (person === undefined)
    return { ok: false, issues: [{ field: '', message: 'There is no such person.' }] };
  const body = read.data;
  const keepersLeft = shop.people.some((p) => p.id !== id && p.active && p.roles.includes('keeper'));
  if (!keepersLeft && (!body.active || !body.roles.includes('keeper')))
    return {
      ok: false,
      issues: [{ field: body.active ? 'roles' : 'active', message: 'leaves the shop without a keeper' }],
    };
  if (samePerson(person, body)) return { ok: true, value: [] };
  return { ok: true, value: [{ kind: 'person changed', subject: id, body }] };
}

/** A new instrument: the same kind and serial number is the same instrument. */
export function addInstrument(shop: Shop, id: string, proposed: unknown): Result<NewShopEntry[]> {
  const read = shopBodies['instrument added'].safeParse(proposed);
  if (!read.success) return { ok: false, issues: issuesOf(read.error.issues, proposed) };
  const same = shop.instruments.find((i) => isSameInstrument(i, read.data));
  if (same !== undefined) return { ok: false, issues: [takenBy(same)] };
  const exact = withoutError(read.data);
  if (exact.length > 0) return { ok: false, issues: exact };
  return { ok: true, value: [{ kind: 'instrument added', subject: id, body: read.data }] };
}

type Marked = Pick<Instrument, 'kind' | 'serial'>;
const isSameInstrument = (one: Marked, other: Marked) =>
  one.kind === other.kind && one.serial.toLowerCase() === other.serial.toLowerCase();
const takenBy = ({ name }: Instrument): Issue => ({
  field: 'serial',
  message: `is that of ${name}, which is on the shelf already`,
});

/** A meter of no error at all is none: with two noughts typed, what lies on a limit would pass. */
function withoutError(body: Pick<Instrument, 'ohms' | 'volts'>): Issue[] {
  return (['ohms', 'volts'] as const)
    .filter((kind) => body[kind]?.percent === 0 && body[kind].counts === 0)
    .map((kind) => ({
      field: `${kind}.percent`,
      message: 'no meter is without error: its leaflet names a percentage, counts, or both',
    }));
}

/** A new calibration, a mended detail, or an instrument taken off the shelf: it becomes no other one. Readings keep what it was. */
export function changeInstrument(shop: Shop, id: string, proposed: unknown): Result<NewShopEntry[]> {
  const read = shopBodies['instrument changed'].safeParse(proposed);
  if (!read.success) return { ok: false, issues: issuesOf(read.error.issues, proposed) };
  const before = shop.instruments.find((i) => i.id === id);
  if (before === undefined)
    return { ok: false, issues: [{ field: '', message: 'There is no such instrument.' }] };
  const same = shop.instruments.find((i) => i.id !== id && isSameInstrument(i, read.data));
  if (same !== undefined && !isSameInstrument(before, read.data))
    return { ok: false, issues: [takenBy(same)] };
  const exact = withoutError(read.data);
  if (exact.length > 0) return { ok: false, issues: exact };
  return { ok: true, value: [{ kind: 'instrument changed', subject: id, body: read.data }] };
}

function samePerson(person: Person, body: ShopBody<'person changed'>): boolean {
  return (
    person.name === body.name &&
    person.active === body.active &&
    [...person.roles].sort().join() === [...body.roles].sort().join()
  );
}

function issuesOf(issues: readonly z.core.$ZodIssue[], given: unknown): Issue[] {
  return issues.map((issue) =>
    issue.path[0] === 'roles' && issue.path.length > 1
      ? { field: 'roles', message: 'has one that is no role here' }
      : { field: issue.path.map(String).join('.'), message: issueSentence(issue, given) },
  );
}
