import type { Circuit } from '../../circuit/circuit.js';
import type { UnitSystem } from '../../circuit/units.js';
import type { Issue, Result } from '../../errors.js';
import type { FlatTyped } from '../page/form.js';
import { type CircuitField, loadTicks, outletFields, sectionsBefore } from './circuit-fields.js';
import { circuitFromTyped, newOutletId, typedFromCircuit } from './circuit-form.js';
import { sketchOf } from './sketch-circuit.js';

/** What a sketch takes at most; a job takes more. */
export const sketchMost = { outlets: 8, loads: 6 };

const generalPaths = ['supply.amps', 'inlet.amps', 'breaker.amps', 'cord.awg', 'cord.lengthM'];
const outletPaths = ['feed.awg', 'feed.lengthM'];

/** The fields of the circuit's own form that a sketch asks for, the run aside. */
export const generalFields: readonly CircuitField[] = generalPaths.flatMap((path) =>
  sectionsBefore.flatMap((s) => s.fields).filter((f) => f.path === path),
);

/** The fields of outlet `k`, from 0, that a sketch asks for. */
export function sketchOutletFields(k: number): readonly CircuitField[] {
  return outletFields(k).filter((f) => outletPaths.some((path) => f.path === `run.${k}.${path}`));
}

/** What a sketch starts with: a common van of two outlets, in the shop's units. */
export function firstSketch(units: UnitSystem): FlatTyped {
  const feet = units === 'imperial';
  return inUnits(
    {
      outlets: '2',
      'supply.amps': '15',
      'inlet.amps': '15',
      'breaker.amps': '15',
      'cord.awg': '12',
      'cord.lengthM': feet ? '25' : '7.6',
      'run.0.feed.awg': '12',
      'run.0.feed.lengthM': feet ? '10' : '3',
      'run.1.feed.awg': '12',
      'run.1.feed.lengthM': feet ? '6' : '2',
    },
    units,
  );
}

/**
 * What an address says of a sketch, its names being those of the circuit's form; undefined where it says nothing of one. What it
 * leaves out is as in a first sketch; what it says empty stays empty.
 */
export function sketchTyped(query: unknown, units: UnitSystem): FlatTyped | undefined {
  const given = Object.entries((query ?? {}) as Record<string, unknown>).flatMap(([name, value]) => {
    const text = [value].flat().at(-1);
    return name in known && typeof text === 'string' ? [[name, text.slice(0, 80)] as const] : [];
  });
  return given.length === 0
    ? undefined
    : withOutlets({ ...firstSketch(units), ...Object.fromEntries(given) });
}

/** Every name that a sketch's address may have. */
const known: Readonly<Record<string, true>> = Object.fromEntries(
  [
    'outlets',
    ...generalFields.flatMap(namesOf),
    ...Array.from({ length: sketchMost.outlets }, (_, k) => [
      ...sketchOutletFields(k).flatMap(namesOf),
      ...Array.from({ length: sketchMost.loads }, (_, i) => loadNames(k, i)).flat(),
    ]).flat(),
  ].map((name) => [name, true] as const),
);

function namesOf(field: CircuitField): string[] {
  return field.kind === 'measure' ? [field.path, `${field.path}.unit`] : [field.path];
}

/** The fields of load `i` at outlet `k`: its name, its watts, and whether it is on for long. */
export function loadNames(k: number, i: number): readonly [name: string, amount: string, long: string] {
  const at = `run.${k}.loads.${i}`;
  return [`${at}.name`, `${at}.amount`, loadTicks(k, i)[0]!.path];
}

export function outletCount(typed: FlatTyped): number {
  const count = Number(typed.outlets);
  return Number.isInteger(count) && count >= 1 ? Math.min(count, sketchMost.outlets) : 1;
}

/** An outlet that was just added starts as the one before it. */
function withOutlets(typed: FlatTyped): FlatTyped {
  const more: Record<string, string> = { ...typed };
  for (let k = 1; k < outletCount(typed); k += 1)
    for (const path of ['feed.awg', 'feed.lengthM', 'feed.lengthM.unit'])
      more[`run.${k}.${path}`] ??= more[`run.${k - 1}.${path}`] ?? '';
  return more;
}

function inUnits(typed: FlatTyped, units: UnitSystem): FlatTyped {
  const fields = [
    ...generalFields,
    ...Array.from({ length: outletCount(typed) }, (_, k) => sketchOutletFields(k)).flat(),
  ];
  const unitOf = fields.flatMap((f): [string, string][] =>
    f.kind === 'measure' ? [[`${f.path}.unit`, f[units]]] : [],
  );
  return { ...typed, ...Object.fromEntries(unitOf) };
}

/** The rows of an outlet's loads in which something was typed, by their place on the form. */
export function filledRows(typed: FlatTyped, k: number): number[] {
  return Array.from({ length: sketchMost.loads }, (_, i) => i).filter((i) =>
    loadNames(k, i).some((name) => (typed[name] ?? '') !== ''),
  );
}

/** Every load by its row on the form (`1.2`, outlet and row from 0) and by its key in the circuit. */
export function loadRows(typed: FlatTyped): { readonly at: string; readonly key: string }[] {
  return Array.from({ length: outletCount(typed) }, (_, k) =>
    filledRows(typed, k).map((row, i) => ({ at: `${k}.${row}`, key: `${sketchedId(k)}.${i}` })),
  ).flat();
}

function sketchedId(k: number): string {
  return `outlet${k + 1}`;
}

/** The same sketch as an address says it: of the outlets that it has, without what is empty. */
export function sketchQuery(typed: FlatTyped): URLSearchParams {
  const said = Object.keys(known).filter((name) => {
    const outlet = /^run\.(\d+)\./.exec(name)?.[1];
    return (typed[name] ?? '') !== '' && (outlet === undefined || Number(outlet) < outletCount(typed));
  });
  return new URLSearchParams(said.map((name): [string, string] => [name, typed[name]!.trim()]));
}

/** The sketched circuit, what a sketch does not ask filled in plainly; or the fields that must be mended, by their names there. */
export function circuitOfSketch(typed: FlatTyped): Result<Circuit> {
  const count = outletCount(typed);
  const whole = { ...typedFromCircuit(plainCircuit(count), 'metric'), ...asForm(typed, sketchedId) };
  const read = circuitFromTyped(whole);
  const issues = read.ok
    ? []
    : read.issues.map((issue) => ({ ...issue, field: rowOnForm(typed, issue.field) }));
  if (!isCount(typed.outlets)) issues.unshift(notACount(typed.outlets ?? ''));
  return read.ok && issues.length === 0 ? read : { ok: false, issues };
}

function isCount(text: string | undefined): boolean {
  return String(outletCount({ outlets: text ?? '' })) === text;
}

function notACount(text: string): Issue {
  const message = text === '' ? 'needs a value' : `“${text}” is no number from 1 to ${sketchMost.outlets}`;
  return { field: 'outlets', message };
}

/** What a circuit's form for a job is filled in with: the sketch, each outlet with an identity of its own. */
export function sketchForJob(query: unknown, units: UnitSystem): FlatTyped | undefined {
  const typed = sketchTyped(query, units);
  return typed && asForm(typed, newOutletId);
}

/** The sketch as the circuit's form holds it: loads without gaps, and what the form counts its outlets and loads by. */
function asForm(typed: FlatTyped, idOf: (k: number) => string): FlatTyped {
  const form: Record<string, string> = {};
  for (const field of generalFields) for (const name of namesOf(field)) form[name] = typed[name] ?? '';
  for (let k = 0; k < outletCount(typed); k += 1) {
    form[`run.${k}.id`] = idOf(k);
    for (const name of sketchOutletFields(k).flatMap(namesOf)) form[name] = typed[name] ?? '';
    filledRows(typed, k).forEach((row, i) => {
      form[`run.${k}.loads.${i}.id`] = String(i);
      form[`run.${k}.loads.${i}.amount.unit`] = 'W';
      loadNames(k, row).forEach((name, part) => {
        if (part < 2 || typed[name]) form[loadNames(k, i)[part]!] = typed[name] ?? '';
      });
    });
  }
  return form;
}

/** A load's field by its row on the sketch, which may have empty rows before it. */
function rowOnForm(typed: FlatTyped, field: string): string {
  return field.replace(/^run\.(\d+)\.loads\.(\d+)/, (_, k: string, i: string) => {
    const row = filledRows(typed, Number(k))[Number(i)];
    return `run.${k}.loads.${row ?? i}`;
  });
}

function plainCircuit(count: number): Circuit {
  const feed = { awg: 14, lengthM: 2 };
  return sketchOf({
    supply: { volts: 120, loopOhms: 0.3 },
    cord: { awg: 12, lengthM: 7.6 },
    inlet: { amps: 15 },
    breaker: { amps: 15 },
    bond: { awg: 8, lengthM: 1 },
    run: Array.from({ length: count }, (_, k) => ({
      device: k === 0 ? 'gfci-receptacle' : 'receptacle',
      feed,
    })),
  });
}
