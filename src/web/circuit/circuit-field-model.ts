import { type UnitSystem, unitFactor, zeroOf } from '../../circuit/units.js';
import type { FlatTyped } from '../page/form.js';
import { unitLabel } from '../step/step-form.js';
import { type CircuitField, outletFields, sectionsBefore } from './circuit-fields.js';
import { countOf } from './circuit-form.js';

/** Every field by its name on the page, for the summary of what must be mended. */
export function labelsOf(typed: FlatTyped): Record<string, string> {
  const outlets = Array.from({ length: countOf(typed, 'run') }, (_, k) => {
    const loads = Array.from({ length: countOf(typed, `run.${k}.loads`) }, (_, i): [string, string][] => [
      [`run.${k}.loads.${i}.name`, `Outlet ${k + 1}, load ${i + 1}`],
      [`run.${k}.loads.${i}.amount`, `Outlet ${k + 1}, load ${i + 1}, by its plate`],
    ]);
    return [
      ...outletFields(k).map((f): [string, string] => [f.path, `Outlet ${k + 1}, ${f.label}`]),
      ...loads.flat(),
    ];
  });
  const sets = Array.from({ length: countOf(typed, 'together') }, (_, s): [string, string] => [
    `together.${s}.name`,
    `Set ${s + 1}`,
  ]);
  const before = sectionsBefore.flatMap((s) =>
    s.fields.map((f): [string, string] => [f.path, `${s.title}, ${f.label}`]),
  );
  return Object.fromEntries([
    ...before,
    ...outlets.flat(),
    ...sets,
    ['run', 'The run of outlets'],
    ['reason', 'Why the circuit changes'],
  ]);
}

/** A field as its part draws it. */
export function fieldModel(field: CircuitField, units: UnitSystem) {
  const common = {
    kind: field.kind,
    name: field.path,
    label: field.optional?.startsWith('if ') ? `${field.label} (${field.optional})` : field.label,
    hint: field.hint,
  };
  if (field.kind === 'text') return { ...common, maxlength: field.long, long: field.long !== undefined };
  if (field.kind === 'choice')
    return { ...common, options: field.options, none: field.optional && 'No other cable' };
  if (field.kind !== 'measure') return common;
  return {
    ...common,
    unit: field[units],
    units: field.units.map((value) => ({
      value,
      label: unitLabel(value),
      factor: unitFactor(field.quantity, value),
      zero: zeroOf(field.quantity, value),
    })),
  };
}
