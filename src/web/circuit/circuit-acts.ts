import type { UnitSystem } from '../../circuit/units.js';
import type { FlatTyped } from '../page/form.js';
import { loadTicks, outletFields, sectionsBefore } from './circuit-fields.js';
import { countOf, newOutletId } from './circuit-form.js';

/**
 * What a button inside the circuit's form does to what was typed: outlets, loads, other sources and sets are added, taken out
 * and moved without losing a letter. An act that means nothing here changes nothing.
 */
export function afterAct(typed: FlatTyped, act: string, units: UnitSystem): FlatTyped {
  const [verb = '', first = '', second = ''] = act.split(':');
  const k = Number(first);
  switch (verb) {
    case 'add-outlet':
      return { ...typed, ...newOutlet(countOf(typed, 'run'), typed, units) };
    case 'remove-outlet':
      return withoutMembers(removed(typed, 'run', k), typed[`run.${k}.id`] ?? '');
    case 'up':
      return swapped(typed, 'run', k - 1, k);
    case 'down':
      return swapped(typed, 'run', k, k + 1);
    case 'add-load': {
      const i = countOf(typed, `run.${k}.loads`);
      return k < countOf(typed, 'run') ? { ...typed, ...newLoad(k, i) } : typed;
    }
    case 'remove-load':
      return membersShifted(
        removed(typed, `run.${k}.loads`, Number(second)),
        typed[`run.${k}.id`] ?? '',
        Number(second),
      );
    case 'add-source':
      return { ...typed, [`otherSources.${countOf(typed, 'otherSources')}.id`]: 'new' };
    case 'remove-source':
      return removed(typed, 'otherSources', k);
    case 'add-set':
      return { ...typed, [`together.${countOf(typed, 'together')}.id`]: 'new' };
    case 'remove-set':
      return removed(typed, 'together', k);
    default:
      return typed;
  }
}

/** The field where the person goes on after an act, so that a long form does not start again at its top. */
export function fieldAfter(typed: FlatTyped, act: string): string | undefined {
  const [verb = '', first = '', second = ''] = act.split(':');
  const k = Number(first);
  const last = (list: string) => Math.max(0, countOf(typed, list) - 1);
  switch (verb) {
    case 'add-outlet':
      return `run.${last('run')}.place`;
    case 'remove-outlet':
      return `run.${Math.min(k, last('run'))}.place`;
    case 'up':
      return `run.${k - 1}.place`;
    case 'down':
      return `run.${k + 1}.place`;
    case 'add-load':
      return `run.${k}.loads.${last(`run.${k}.loads`)}.name`;
    case 'remove-load':
      return countOf(typed, `run.${k}.loads`) === 0
        ? `run.${k}.openNeutral`
        : `run.${k}.loads.${Math.min(Number(second), last(`run.${k}.loads`))}.name`;
    case 'add-source':
      return `otherSources.${last('otherSources')}.kind`;
    case 'remove-source':
      return countOf(typed, 'otherSources') === 0 ? undefined : `otherSources.${last('otherSources')}.kind`;
    case 'add-set':
      return `together.${last('together')}.name`;
    case 'remove-set':
      return countOf(typed, 'together') === 0 ? undefined : `together.${last('together')}.name`;
    default:
      return undefined;
  }
}

/** What was typed, without the loads of which nothing was: an outlet starts with an empty one, and not every outlet has any. */
export function withoutEmptyLoads(typed: FlatTyped, units: UnitSystem): FlatTyped {
  let kept = typed;
  for (let k = countOf(typed, 'run') - 1; k >= 0; k -= 1)
    for (let i = countOf(typed, `run.${k}.loads`) - 1; i >= 0; i -= 1)
      if (isEmptyLoad(typed, k, i)) kept = afterAct(kept, `remove-load:${k}:${i}`, units);
  return kept;
}

function isEmptyLoad(typed: FlatTyped, k: number, i: number): boolean {
  const at = `run.${k}.loads.${i}`;
  const member = `.with.${typed[`run.${k}.id`]}.${i}`;
  const names = [`${at}.name`, `${at}.amount`, ...loadTicks(k, i).map(({ path }) => path)];
  return (
    names.every((name) => (typed[name] ?? '').trim() === '') &&
    !Object.keys(typed).some((name) => name.endsWith(member))
  );
}

function newLoad(k: number, i: number): FlatTyped {
  return { [`run.${k}.loads.${i}.id`]: String(i), [`run.${k}.loads.${i}.amount.unit`]: 'W' };
}

/** What a first circuit starts with: common parts, so that only what differs has to be typed. */
export function firstTyped(units: UnitSystem): FlatTyped {
  const lengths = units === 'imperial' ? imperialStart : metricStart;
  const unitOf = sectionsBefore
    .flatMap((s) => s.fields)
    .flatMap((f): [string, string][] => (f.kind === 'measure' ? [[`${f.path}.unit`, f[units]]] : []));
  const typed: FlatTyped = {
    ...Object.fromEntries(unitOf),
    // Nobody's guess: it was said with the job, or is chosen here.
    vehicleUse: '',
    'supply.amps': '15',
    'supply.loopOhms': '0.3',
    'cord.awg': '12',
    'cord.typeLetters': 'SJTW',
    'inlet.amps': '15',
    'inlet.side': 'left',
    'inlet.panel': 'trim-piece',
    'entry.kind': 'drilled-grommet',
    'breaker.amps': '15',
    'bond.awg': '8',
    'cable.method': 'stranded-multiconductor',
    'cable.strands': 'stranded',
    'cable.insulationC': '90',
    'cable.terminalsC': '60',
    ...lengths,
  };
  return { ...typed, ...newOutlet(0, typed, units) };
}

const metricStart: FlatTyped = {
  'cord.lengthM': '7.6',
  'cord.lengthM.unit': 'm',
  'cable.supportSpacingM': '45',
  'cable.supportSpacingM.unit': 'cm',
  'cable.supportFromBoxM': '20',
  'cable.supportFromBoxM.unit': 'cm',
  'cable.hottestPlaceC': '50',
  'cable.bendRadiusMm': '65',
};
const imperialStart: FlatTyped = {
  'cord.lengthM': '25',
  'cord.lengthM.unit': 'ft',
  'cable.supportSpacingM': '18',
  'cable.supportSpacingM.unit': 'in',
  'cable.supportFromBoxM': '8',
  'cable.supportFromBoxM.unit': 'in',
  'cable.hottestPlaceC': '122',
  'cable.bendRadiusMm': '2.5',
};

/** The first outlet of a run is the ground-fault device; a later one starts as the one before it, but for what is its own. */
function newOutlet(k: number, typed: FlatTyped, units: UnitSystem): FlatTyped {
  const added: Record<string, string> = { [`run.${k}.id`]: newOutletId(), ...newLoad(k, 0) };
  for (const field of outletFields(k)) {
    const same = field.path.replace(`run.${k}`, `run.${k - 1}`);
    const value = k > 0 ? typed[same] : undefined;
    if (value !== undefined) added[field.path] = value;
    if (field.kind === 'measure')
      added[`${field.path}.unit`] = (k > 0 && typed[`${same}.unit`]) || field[units];
  }
  const at = `run.${k}`;
  if (k === 0)
    return {
      ...added,
      [`${at}.device`]: 'gfci-receptacle',
      [`${at}.amps`]: '15',
      [`${at}.terminals`]: 'clamp-plate',
      [`${at}.feed.awg`]: '14',
      [`${at}.box.material`]: 'plastic',
      [`${at}.box.clamps`]: 'internal',
      [`${at}.openNeutral`]: 'unknown',
    };
  delete added[`${at}.selfTest`];
  return {
    ...added,
    [`${at}.place`]: '',
    [`${at}.device`]: 'receptacle',
    [`${at}.openNeutral`]: 'unknown',
    [`${at}.feed.lengthM`]: '',
  };
}

function removed(typed: FlatTyped, list: string, k: number): FlatTyped {
  const count = countOf(typed, list);
  if (!(k >= 0 && k < count)) return typed;
  let moved: FlatTyped = typed;
  for (let i = k; i < count - 1; i += 1) moved = swapped(moved, list, i, i + 1);
  return Object.fromEntries(
    Object.entries(moved).filter(([name]) => !name.startsWith(`${list}.${count - 1}.`)),
  );
}

function swapped(typed: FlatTyped, list: string, a: number, b: number): FlatTyped {
  if (!(a >= 0 && b < countOf(typed, list))) return typed;
  const other: Record<string, string> = {
    [`${list}.${a}.`]: `${list}.${b}.`,
    [`${list}.${b}.`]: `${list}.${a}.`,
  };
  return Object.fromEntries(
    Object.entries(typed).map(([name, value]) => {
      const from = Object.keys(other).find((prefix) => name.startsWith(prefix));
      return [from === undefined ? name : `${other[from]}${name.slice(from.length)}`, value];
    }),
  );
}

function withoutMembers(typed: FlatTyped, outlet: string): FlatTyped {
  return Object.fromEntries(Object.entries(typed).filter(([name]) => !name.includes(`.with.${outlet}.`)));
}

/** Sets name loads by their place at the outlet: those behind a load that was taken out move up by one. */
function membersShifted(typed: FlatTyped, outlet: string, gone: number): FlatTyped {
  const member = new RegExp(`^(together\\.\\d+\\.with\\.${outlet.replace(/[^a-z0-9]/g, '')}\\.)(\\d+)$`);
  return Object.fromEntries(
    Object.entries(typed).flatMap(([name, value]) => {
      const match = member.exec(name);
      const index = Number(match?.[2]);
      if (match === null || index < gone) return [[name, value]];
      return index === gone ? [] : [[`${match[1]}${index - 1}`, value]];
    }),
  );
}
