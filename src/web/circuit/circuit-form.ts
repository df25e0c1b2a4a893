import { randomBytes } from 'node:crypto';
import { type Circuit, circuitSchema } from '../../circuit/circuit.js';
import { issueSentence } from '../../circuit/issue-sentence.js';
import { limitInBothUnits } from '../../circuit/quantity-text.js';
import { readFigure } from '../../circuit/typed-figure.js';
import { fromSi, inSi, noSuchUnit, notANumber, type UnitSystem, unitFactor } from '../../circuit/units.js';
import type { Issue, Result } from '../../errors.js';
import type { FlatTyped } from '../page/form.js';
import {
  type CircuitField,
  loadTicks,
  outletFields,
  sectionsBefore,
  sourceFields,
} from './circuit-fields.js';

/** How many outlets, loads, sources and sets a typed form speaks of; more than the schema takes is read and refused. */
const readAtMost = { run: 14, loads: 14, otherSources: 6, together: 10 };

/** How many items a list of the form has: `run`, `run.0.loads`, `otherSources`, `together`. */
export function countOf(typed: FlatTyped, list: string): number {
  const most = readAtMost[list.split('.').at(-1) as keyof typeof readAtMost] ?? 0;
  let count = 0;
  while (count < most && typed[`${list}.${count}.id`] !== undefined) count += 1;
  return count;
}

/** The circuit in force and the units it was shown in: a figure that was left as shown stays exactly what it was. */
interface ShownBefore {
  readonly circuit: Circuit;
  readonly units: UnitSystem;
}

/** The circuit that was typed, or every field that must be mended, each with the sentence that stands beside it. */
export function circuitFromTyped(typed: FlatTyped, before?: ShownBefore): Result<Circuit> {
  const issues: Issue[] = [];
  const untouched = before === undefined ? undefined : untouchedFigures(before);
  const raw: Record<string, unknown> = { run: [], otherSources: [], together: [] };
  const read = (field: CircuitField) => readField(typed, field, raw, issues, untouched);
  for (const field of sectionsBefore.flatMap((s) => s.fields)) read(field);
  for (let k = 0; k < countOf(typed, 'run'); k += 1) {
    put(raw, `run.${k}.id`, typed[`run.${k}.id`]);
    put(raw, `run.${k}.loads`, []);
    outletFields(k).forEach(read);
    for (let i = 0; i < countOf(typed, `run.${k}.loads`); i += 1) readLoad(typed, k, i, raw, issues);
  }
  for (let s = 0; s < countOf(typed, 'otherSources'); s += 1) sourceFields(s).forEach(read);
  for (let s = 0; s < countOf(typed, 'together'); s += 1) readSet(typed, s, raw);
  raw.note = typed.note ?? '';
  for (const place of ['inlet', 'breaker']) dropEmptyBox(raw[place] as { box?: { volumeCm3?: number } });
  const parsed = circuitSchema.safeParse(raw);
  const known = new Set(issues.map((i) => i.field));
  if (!parsed.success)
    for (const issue of parsed.error.issues) {
      const field = fieldOf(issue.path.map(String).join('.'));
      if (!known.has(field))
        issues.push({ field, message: limitOf(issue, field, typed) ?? issueSentence(issue, raw) });
      known.add(field);
    }
  return issues.length === 0 && parsed.success ? { ok: true, value: parsed.data } : { ok: false, issues };
}

function readField(
  typed: FlatTyped,
  field: CircuitField,
  raw: Record<string, unknown>,
  issues: Issue[],
  untouched?: ReadonlyMap<string, number>,
): void {
  const text = (typed[field.path] ?? '').trim();
  if (text === '' && field.optional !== undefined) return;
  if (field.kind !== 'measure') {
    put(raw, field.path, plainValue(field, text));
    return;
  }
  if (text === '') {
    issues.push({ field: field.path, message: 'needs a value' });
    return;
  }
  const unit = typed[`${field.path}.unit`] ?? field.metric;
  const figure = readFigure(text, field.quantity, unit);
  const si = figure && inSi(field.quantity, figure.value, figure.unit);
  if (unitFactor(field.quantity, unit) === undefined) {
    issues.push({ field: field.path, message: noSuchUnit(unit) });
  } else if (si === undefined) {
    issues.push({ field: field.path, message: notANumber(text) });
  } else {
    const kept = untouched?.get(figureKey(typed, field.path, text, unit));
    put(raw, field.path, kept ?? si);
  }
}

/** What every figure of the circuit in force looks like on the form, with the value behind it. */
function untouchedFigures({ circuit, units }: ShownBefore): Map<string, number> {
  const shown = typedFromCircuit(circuit, units);
  const fields = [
    ...sectionsBefore.flatMap((s) => s.fields),
    ...circuit.run.flatMap((_, k) => outletFields(k)),
  ];
  return new Map(
    fields.flatMap((field): [string, number][] => {
      const value = get(circuit, field.path);
      if (field.kind !== 'measure' || typeof value !== 'number') return [];
      const text = shown[field.path] ?? '';
      return [[figureKey(shown, field.path, text, shown[`${field.path}.unit`] ?? ''), value]];
    }),
  );
}

/** A figure as it stands on the form; an outlet's figure goes with the outlet, wherever in the run it is now. */
function figureKey(typed: FlatTyped, path: string, text: string, unit: string): string {
  const place = /^run\.(\d+)\.(.*)$/.exec(path);
  const name = place ? `${typed[`run.${place[1]}.id`]} ${place[2]}` : path;
  return `${name} ${text} ${unit}`;
}

function plainValue(field: Exclude<CircuitField, { kind: 'measure' }>, text: string): unknown {
  if (field.kind === 'tick') return text === 'yes';
  return field.kind === 'choice' && field.numeric && text !== '' ? Number(text) : text;
}

function readLoad(
  typed: FlatTyped,
  k: number,
  i: number,
  raw: Record<string, unknown>,
  issues: Issue[],
): void {
  const at = `run.${k}.loads.${i}`;
  const text = (typed[`${at}.amount`] ?? '').trim();
  const unit = typed[`${at}.amount.unit`] ?? 'W';
  const amount = readFigure(text, 'current', unit)?.value;
  put(raw, `${at}.name`, typed[`${at}.name`] ?? '');
  for (const tick of loadTicks(k, i)) readField(typed, tick, raw, issues);
  if (amount === undefined) {
    const message = text === '' ? 'needs the watts or amps of its plate' : notANumber(text);
    issues.push({ field: `${at}.amount`, message });
  } else if (unit !== 'A' && unit !== 'W') {
    issues.push({ field: `${at}.amount`, message: noSuchUnit(unit) });
  } else put(raw, `${at}.${unit === 'A' ? 'amps' : 'watts'}`, amount);
}

function readSet(typed: FlatTyped, s: number, raw: Record<string, unknown>): void {
  put(raw, `together.${s}.name`, typed[`together.${s}.name`] ?? '');
  put(
    raw,
    `together.${s}.loads`,
    loadsOf(typed)
      .filter((l) => typed[`together.${s}.with.${l.outlet}.${l.index}`] === 'yes')
      .map((l) => ({ outlet: l.outlet, load: l.name.trim() })),
  );
}

/** Every load that is typed, with the outlet that it is at. */
export function loadsOf(
  typed: FlatTyped,
): { outlet: string; number: number; place: string; index: number; name: string }[] {
  return Array.from({ length: countOf(typed, 'run') }, (_, k) =>
    Array.from({ length: countOf(typed, `run.${k}.loads`) }, (_, index) => ({
      outlet: typed[`run.${k}.id`] ?? '',
      number: k + 1,
      place: typed[`run.${k}.place`] ?? '',
      index,
      name: typed[`run.${k}.loads.${index}.name`] ?? '',
    })),
  ).flat();
}

function dropEmptyBox(place: { box?: { volumeCm3?: number } }): void {
  if (place.box !== undefined && place.box.volumeCm3 === undefined) delete place.box;
}

/** The form's field for a path of the schema: a load's watts and amps are one field, a set's members are its name's. */
function fieldOf(path: string): string {
  const load = /^(run\.\d+\.loads\.\d+)\.(watts|amps)$/.exec(path);
  if (load) return `${load[1]}.amount`;
  const set = /^(together\.\d+)\.loads/.exec(path);
  return set ? `${set[1]}.name` : path;
}

function limitOf(issue: object, field: string, typed: FlatTyped): string | undefined {
  const { code, minimum, maximum } = issue as { code?: string; minimum?: number; maximum?: number };
  const limit = code === 'too_big' ? maximum : code === 'too_small' ? minimum : undefined;
  const spec = allFields(typed).find((f) => f.path === field);
  const unit = typed[`${field}.unit`];
  if (limit === undefined || spec?.kind !== 'measure' || inSi(spec.quantity, 0, unit ?? '') === undefined)
    return undefined;
  const side = code === 'too_big' ? 'most' : 'least';
  return `must be at ${side} ${limitInBothUnits(spec.quantity, limit, unit ?? '', spec, side)}`;
}

function allFields(typed: FlatTyped): CircuitField[] {
  const run = Array.from({ length: countOf(typed, 'run') }, (_, k) => outletFields(k)).flat();
  return [...sectionsBefore.flatMap((s) => s.fields), ...run];
}

/** A circuit as the form shows it, every length and torque in the shop's unit. */
export function typedFromCircuit(circuit: Circuit, units: UnitSystem): FlatTyped {
  const typed: Record<string, string> = { note: circuit.note };
  const show = (field: CircuitField) => showField(circuit, field, units, typed);
  for (const field of sectionsBefore.flatMap((s) => s.fields)) show(field);
  circuit.run.forEach((outlet, k) => {
    typed[`run.${k}.id`] = outlet.id;
    outletFields(k).forEach(show);
    outlet.loads.forEach((load, i) => {
      const at = `run.${k}.loads.${i}`;
      typed[`${at}.id`] = String(i);
      typed[`${at}.name`] = load.name;
      typed[`${at}.amount`] = String(load.watts ?? load.amps ?? '');
      typed[`${at}.amount.unit`] = load.watts === undefined ? 'A' : 'W';
      loadTicks(k, i).forEach(show);
    });
  });
  circuit.otherSources.forEach((_, s) => {
    typed[`otherSources.${s}.id`] = String(s);
    sourceFields(s).forEach(show);
  });
  circuit.together.forEach((set, s) => {
    typed[`together.${s}.id`] = String(s);
    typed[`together.${s}.name`] = set.name;
    for (const member of set.loads) {
      const outlet = circuit.run.find((o) => o.id === member.outlet);
      const index = outlet?.loads.findIndex((l) => l.name === member.load) ?? -1;
      if (index >= 0) typed[`together.${s}.with.${member.outlet}.${index}`] = 'yes';
    }
  });
  return typed;
}

function showField(
  circuit: Circuit,
  field: CircuitField,
  units: UnitSystem,
  typed: Record<string, string>,
): void {
  const value = get(circuit, field.path);
  if (field.kind === 'tick') {
    if (value === true) typed[field.path] = 'yes';
    return;
  }
  if (field.kind === 'measure') {
    const unit = field[units];
    typed[`${field.path}.unit`] = unit;
    if (typeof value === 'number')
      typed[field.path] = String(Number(fromSi(field.quantity, value, unit).toPrecision(4)));
    return;
  }
  if (value !== undefined) typed[field.path] = String(value);
}

/** An identity for a new outlet: never one that was used before, so drawn at random. */
export function newOutletId(): string {
  return `o${randomBytes(4).toString('hex')}`;
}

function put(target: Record<string, unknown>, path: string, value: unknown): void {
  const keys = path.split('.');
  let at = target;
  for (const key of keys.slice(0, -1)) {
    const next = at[key] ?? {};
    at[key] = next;
    at = next as Record<string, unknown>;
  }
  at[keys.at(-1) as string] = value;
}

function get(source: unknown, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>((at, key) => (at as Record<string, unknown> | undefined)?.[key], source);
}
