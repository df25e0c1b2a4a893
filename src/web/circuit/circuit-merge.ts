import type { FlatTyped } from '../page/form.js';
import { countOf } from './circuit-form.js';

/**
 * Three forms of one circuit: as it was when somebody opened the page, as another has set it since, and as the first has typed it.
 * What the first left alone follows the other, so that sending it undoes nothing unread; what both changed stays as typed.
 */
export function withTheirChanges(typed: FlatTyped, opened: FlatTyped, theirs: FlatTyped): FlatTyped {
  const [base, mine, other] = [byIdentity(opened), byIdentity(typed), byIdentity(theirs)];
  const lists = new Set([...base.lists.keys(), ...mine.lists.keys(), ...other.lists.keys()]);
  const order = new Map([...lists].map((list) => [list, chosen(list, base, mine, other)]));
  order.set('run', JSON.stringify(runOf(...([base, mine, other].map(idsOf) as [Ids, Ids, Ids]))));
  const fields = new Map<string, string>();
  for (const name of new Set([...base.fields.keys(), ...mine.fields.keys(), ...other.fields.keys()])) {
    const value = pick(base.fields.get(name), mine.fields.get(name), other.fields.get(name));
    if (value !== undefined) fields.set(name, value);
  }
  return byPlace({ fields, lists: order });
}

/** A form whose outlets go by their identity, and whose other lists (told by place alone) are one field each. */
interface Parts {
  readonly fields: Map<string, string>;
  readonly lists: Map<string, string>;
}

const pick = <T>(base: T, mine: T, other: T): T => (mine === base ? other : mine);

function chosen(list: string, base: Parts, mine: Parts, other: Parts): string {
  return pick(base.lists.get(list) ?? '', mine.lists.get(list) ?? '', other.lists.get(list) ?? '');
}

type Ids = readonly string[];
const idsOf = ({ lists }: Parts): Ids => JSON.parse(lists.get('run') || '[]') as string[];

/** The outlets in the order of whoever moved them; one that the other took out is gone, one that they added stands behind the one it stands behind there. */
function runOf(base: Ids, mine: Ids, other: Ids): Ids {
  if (mine.join() === base.join()) return other;
  const run = mine.filter((id) => !base.includes(id) || other.includes(id));
  for (const [k, id] of other.entries())
    if (!base.includes(id) && !run.includes(id))
      run.splice(k === 0 ? 0 : run.indexOf(other[k - 1]!) + 1, 0, id);
  return run;
}

const whole = /^(run\.[^.]+\.loads|otherSources|together)\./;

function byIdentity(typed: FlatTyped): Parts {
  const ids = Array.from({ length: countOf(typed, 'run') }, (_, k) => typed[`run.${k}.id`] ?? '');
  const fields = new Map<string, string>();
  const grouped = new Map<string, Record<string, string>>();
  for (const [name, sent] of Object.entries(typed)) {
    // A browser sends a line's end in two letters, and a field that was left empty as none was shown.
    const value = sent.replaceAll('\r\n', '\n');
    if (value === '') continue;
    const own = name.replace(/^run\.(\d+)\./, (all, k: string) => {
      const id = ids[Number(k)];
      return id === undefined ? all : `run.${id}.`;
    });
    if (/^run\.[^.]+\.id$/.test(own)) continue;
    const list = whole.exec(own)?.[1];
    if (list === undefined) fields.set(own, value);
    else grouped.set(list, { ...grouped.get(list), [own]: value });
  }
  const lists = new Map([['run', JSON.stringify(ids)]]);
  for (const [list, members] of grouped)
    lists.set(list, JSON.stringify(Object.fromEntries(Object.entries(members).sort())));
  return { fields, lists };
}

function byPlace({ fields, lists }: Parts): FlatTyped {
  const ids = idsOf({ fields, lists });
  const members = [...lists]
    .filter(([list, text]) => list !== 'run' && text !== '')
    .flatMap(([, text]) => Object.entries(JSON.parse(text) as Record<string, string>));
  const typed: Record<string, string> = Object.fromEntries(ids.map((id, k) => [`run.${k}.id`, id]));
  for (const [name, value] of [...fields, ...members]) {
    const id = /^run\.([^.]+)\./.exec(name)?.[1];
    const k = id === undefined ? -1 : ids.indexOf(id);
    if (id === undefined) typed[name] = value;
    else if (k >= 0) typed[`run.${k}.${name.slice(`run.${id}.`.length)}`] = value;
  }
  return typed;
}
