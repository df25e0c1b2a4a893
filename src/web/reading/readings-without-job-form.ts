import { issueSentence } from '../../circuit/issue-sentence.js';
import { readFigure } from '../../circuit/typed-figure.js';
import {
  inSi,
  isOverRange,
  lengthUnitOf,
  noSuchUnit,
  notANumber,
  type Quantity,
  type UnitSystem,
  unitFactor,
} from '../../circuit/units.js';
import type { Issue, Result } from '../../errors.js';
import { type ElectricalCircuit, electricalCircuitSchema } from '../../meter/electrical-circuit.js';
import {
  parseReading,
  parseReadingsFile,
  type Reading,
  type ReadingsFile,
} from '../../meter/readings-file.js';
import { testLoadA } from '../../meter/schedule.js';
import { usualMeter } from '../../steps/meter-of.js';
import type { FlatTyped } from '../page/form.js';
import { answersFrom, loadOf } from './readings-without-job-answers.js';

const mostOutlets = 8;
const mostRows = 60;

/** What a form of readings without a job starts with: a common van, and four empty rows. */
export function firstReadingsTyped(units: UnitSystem): FlatTyped {
  const length = (m: string, ft: string) => (units === 'imperial' ? ft : m);
  const unit = lengthUnitOf(units);
  return {
    ...emptyRows(0, 4),
    outlets: '2',
    rows: '4',
    loadA: String(testLoadA),
    volts: '120',
    loopOhms: '0.3',
    inletAmps: '15',
    breakerAmps: '15',
    'cord.awg': '12',
    'cord.length': length('7.6', '25'),
    'bond.awg': '8',
    'bond.length': length('1', '3'),
    'outlet.0.device': 'gfci-receptacle',
    'outlet.0.awg': '14',
    'outlet.0.length': length('3', '10'),
    'outlet.1.device': 'receptacle',
    'outlet.1.awg': '14',
    'outlet.1.length': length('2', '6'),
    unit,
  };
}

/** A button of the form: one outlet or three rows more or less, or the row of the reading that was asked for next. */
export function afterReadingsAct(typed: FlatTyped, act: string): FlatTyped {
  const outlets = countOf(typed.outlets, mostOutlets);
  const rows = countOf(typed.rows, mostRows);
  if (act === 'add-outlet' && outlets < mostOutlets) {
    const same = `outlet.${outlets - 1}`;
    return {
      ...typed,
      outlets: String(outlets + 1),
      [`outlet.${outlets}.device`]: 'receptacle',
      [`outlet.${outlets}.awg`]: typed[`${same}.awg`] ?? '14',
      [`outlet.${outlets}.length`]: typed[`${same}.length`] ?? '2',
    };
  }
  if (act === 'remove-outlet') return { ...typed, outlets: String(Math.max(1, outlets - 1)) };
  if (act === 'add-rows') {
    const more = Math.min(mostRows, rows + 3);
    return { ...typed, ...emptyRows(rows, more), rows: String(more) };
  }
  if (act === 'add-next' && rows < mostRows) {
    const next: Record<string, string> = { rows: String(rows + 1) };
    for (const part of ['test', 'from', 'to']) next[`row.${rows}.${part}`] = typed[`next.${part}`] ?? '';
    return { ...typed, ...next, loadA: typed['next.amps'] || (typed.loadA ?? '') };
  }
  return typed;
}

/** Rows of the form that speak of two points, so that nothing is the same point twice before it is chosen. */
function emptyRows(from: number, to: number): FlatTyped {
  const rows = Array.from({ length: to - from }, (_, i) => `row.${from + i}`);
  return Object.fromEntries(
    rows.flatMap((at) => [
      [`${at}.from`, 'inlet.hot'],
      [`${at}.to`, 'inlet.neutral'],
    ]),
  );
}

function countOf(text: string | undefined, most: number): number {
  const count = Number(text);
  return Number.isInteger(count) && count >= 1 ? Math.min(count, most) : 1;
}

export const counts = (typed: FlatTyped) => ({
  outlets: countOf(typed.outlets, mostOutlets),
  rows: countOf(typed.rows, mostRows),
});

/** The readings file that was pasted, with what was typed beside it, or the typed one alone; or what must be mended. */
export function readingsFileFrom(typed: FlatTyped): Result<ReadingsFile> {
  const pasted = (typed.file ?? '').trim();
  const issues: Issue[] = [];
  const file = pasted === '' ? emptyFile(typed, issues) : pastedFile(pasted, issues);
  if (file === undefined) return { ok: false, issues };
  const { circuit } = file;
  const readings = [
    ...file.readings,
    ...rowsFrom(typed, circuit, issues),
    ...answersFrom(typed, circuit, issues),
  ];
  if (issues.length === 0 && readings.length === 0)
    issues.push({ field: 'row.0.value', message: 'type at least one reading' });
  if (issues.length > 0) return { ok: false, issues };
  return { ok: true, value: { ...file, readings } };
}

function pastedFile(text: string, issues: Issue[]): ReadingsFile | undefined {
  const parsed = parseReadingsFile(text);
  if (parsed.ok) return parsed.file;
  const said = parsed.issues.slice(0, 8).map((i) => `${i.field === 'file' ? '' : `${i.field} `}${i.message}`);
  issues.push({ field: 'file', message: said.join('; ') });
  return undefined;
}

function emptyFile(typed: FlatTyped, issues: Issue[]): ReadingsFile | undefined {
  const circuit = circuitFrom(typed, issues);
  return circuit && { format: 'inlet-readings/1', circuit, meter: usualMeter, readings: [] };
}

/** The circuit alone, where it can be read: its points fill the lists to choose from. */
function circuitFrom(typed: FlatTyped, issues: Issue[]): ElectricalCircuit | undefined {
  const figure = (field: string, quantity: Quantity = 'count', unit = ''): number => {
    const read = readFigure(typed[field] ?? '', quantity, unit);
    const si = read && inSi(quantity, read.value, read.unit);
    if (si === undefined) issues.push({ field, message: 'needs a number' });
    return si ?? 0;
  };
  const length = (field: string) => figure(field, 'length', typed.unit === 'ft' ? 'ft' : 'm');
  // Left empty, outlet 1's cable leads through the breaker.
  const ownInletWire = ['awg', 'length'].some((part) => (typed[`inletWire.${part}`] ?? '').trim() !== '');
  const raw = {
    supply: { volts: figure('volts', 'voltage', 'V'), loopOhms: figure('loopOhms', 'resistance', 'Ω') },
    cord: { awg: figure('cord.awg'), lengthM: length('cord.length') },
    inlet: { amps: figure('inletAmps') },
    breaker: typed.breakerAmps === 'none' ? null : { amps: figure('breakerAmps') },
    ...(ownInletWire && {
      inletWire: { awg: figure('inletWire.awg'), lengthM: length('inletWire.length') },
    }),
    bond: { awg: figure('bond.awg'), lengthM: length('bond.length') },
    run: Array.from({ length: counts(typed).outlets }, (_, k) => ({
      device: typed[`outlet.${k}.device`],
      feed: { awg: figure(`outlet.${k}.awg`), lengthM: length(`outlet.${k}.length`) },
    })),
  };
  const parsed = electricalCircuitSchema.safeParse(raw);
  if (!parsed.success)
    for (const issue of parsed.error.issues) {
      const field = formField(issue.path.map(String).join('.'));
      if (!issues.some((i) => i.field === field)) issues.push({ field, message: issueSentence(issue, raw) });
    }
  return parsed.success && issues.length === 0 ? parsed.data : undefined;
}

function formField(path: string): string {
  const run = /^run\.(\d+)\.(device|feed)\.?(\w*)$/.exec(path);
  if (run) return `outlet.${run[1]}.${run[2] === 'device' ? 'device' : run[3] === 'awg' ? 'awg' : 'length'}`;
  const known: Record<string, string> = {
    'supply.volts': 'volts',
    'supply.loopOhms': 'loopOhms',
    'inlet.amps': 'inletAmps',
    'breaker.amps': 'breakerAmps',
  };
  return known[path] ?? path.replace('lengthM', 'length');
}

function rowsFrom(typed: FlatTyped, circuit: ElectricalCircuit, issues: Issue[]): Reading[] {
  return Array.from({ length: counts(typed).rows }, (_, k) => k).flatMap((k) => {
    const at = `row.${k}`;
    const text = (typed[`${at}.value`] ?? '').trim();
    if (text === '') return [];
    const raw = rowReading(typed, at, text, issues);
    if (raw === undefined) return [];
    const parsed = parseReading(circuit, raw);
    if (parsed.ok) return [parsed.reading];
    const field = { from: 'from', to: 'to' }[parsed.issues[0]?.field ?? ''] ?? 'value';
    issues.push({ field: `${at}.${field}`, message: parsed.issues.map((i) => i.message).join('; ') });
    return [];
  });
}

function rowReading(
  typed: FlatTyped,
  at: string,
  text: string,
  issues: Issue[],
): Record<string, unknown> | undefined {
  const test = typed[`${at}.test`] ?? 'resistance';
  const ends = { test, from: typed[`${at}.from`] ?? '', to: typed[`${at}.to`] ?? '' };
  const unit = typed[`${at}.unit`] ?? 'Ω';
  if (test === 'resistance' && isOverRange(text)) return { ...ends, ohms: null };
  const [quantity, shownIn] =
    test === 'resistance' ? (['resistance', unit] as const) : (['voltage', 'V'] as const);
  const value = readFigure(text, quantity, shownIn)?.value;
  const factor = unitFactor('resistance', unit);
  if (test === 'resistance' && factor === undefined) {
    issues.push({ field: `${at}.value`, message: noSuchUnit(unit) });
    return undefined;
  }
  if (value === undefined) {
    issues.push({ field: `${at}.value`, message: notANumber(text) });
    return undefined;
  }
  if (test === 'resistance') return { ...ends, ohms: value * (factor ?? 1) };
  if (test === 'voltage') return { ...ends, volts: value };
  return { ...ends, volts: value, amps: loadOf(typed, issues) };
}
