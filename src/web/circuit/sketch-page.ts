import type { FastifyInstance } from 'fastify';
import type { Circuit } from '../../circuit/circuit.js';
import { ampsText } from '../../circuit/quantity-text.js';
import { sheet } from '../../circuit/sheet.js';
import { holdsCutting, type SheetGroup, type SheetLine, verdictWords } from '../../circuit/sheet-line.js';
import type { UnitSystem } from '../../circuit/units.js';
import { unitsFirst } from '../../circuit/units-first.js';
import { readingLimits } from '../../trade/reading-limits.js';
import { sourceText } from '../../trade/source.js';
import { drawPlanned } from '../job/job-drawing.js';
import type { FlatTyped } from '../page/form.js';
import { goTo, render } from '../page/page.js';
import type { Services } from '../services.js';
import { limitWords } from '../words/sheet-words.js';
import { fieldModel, labelsOf } from './circuit-field-model.js';
import { drawProfile } from './sheet-drawing.js';
import {
  circuitOfSketch,
  filledRows,
  firstSketch,
  generalFields,
  loadNames,
  loadRows,
  outletCount,
  sketchMost,
  sketchOutletFields,
  sketchQuery,
  sketchTyped,
} from './sketch-form.js';
import { drawSumAgainst, loadsOn, onField, tryLoadsModel } from './try-loads-model.js';

/** The lines that follow from what a sketch asks; the others need what only the job's own form asks. */
const sketchedGroups: ReadonlySet<SheetGroup> = new Set(['ladder', 'cable', 'cord', 'drop', 'loads']);
/** An address of a sketch of eight outlets with every load is shorter. */
const longestAddress = 8000;

/** `/sketch`: a circuit of few fields, what the sheet says of it, and its drawings. All of it is in the address; nothing is kept. */
export function registerSketch(app: FastifyInstance, services: Services): void {
  app.get<{ Querystring: Record<string, unknown> }>('/sketch', async (request, reply) => {
    const { units } = services.store.shop.state();
    const typed = sketchTyped(request.query, units) ?? firstSketch(units);
    const on = loadsOn(request.query);
    const read = circuitOfSketch(typed);
    const { last } = request.query;
    if (read.ok) {
      const address = addressOf(typed, on);
      // The form carries the last good sketch along; an address to keep or to share does not need it.
      if (last !== undefined) return goTo(reply, `/sketch?${address}`);
      const model = { ...formModel(typed, units), last: address, ...answer(read.value, typed, on, units) };
      return render(reply, 'sketch', model, { typed });
    }
    const before = lastGood(last, units);
    const shown = before && answer(before.circuit, before.typed, on, units);
    const model = { ...formModel(typed, units), last: before ? addressOf(before.typed, []) : '', ...shown };
    return render(reply, 'sketch', model, { typed, issues: read.issues, status: 422 });
  });
}

/** The sketch that the form carried along as the last one that could be read. */
function lastGood(last: unknown, units: UnitSystem): { circuit: Circuit; typed: FlatTyped } | undefined {
  if (typeof last !== 'string' || last.length > longestAddress) return undefined;
  const typed = sketchTyped(Object.fromEntries(new URLSearchParams(last)), units);
  const read = typed && circuitOfSketch(typed);
  return typed && read?.ok ? { circuit: read.value, typed } : undefined;
}

function addressOf(typed: FlatTyped, on: readonly string[]): string {
  const query = sketchQuery(typed);
  for (const key of on) query.append(onField, key);
  return query.toString();
}

/** The form: its fields under their names in the circuit's own form, so that the same words and limits hold. */
function formModel(typed: FlatTyped, units: UnitSystem) {
  const count = outletCount(typed);
  return {
    title: 'Sketch a circuit',
    wide: true,
    backTo: { href: '/', label: 'Jobs' },
    labels: { ...labelsOf(withIds(typed)), outlets: 'Outlets' },
    counts: Array.from({ length: sketchMost.outlets }, (_, k) => ({
      value: String(k + 1),
      label: String(k + 1),
    })),
    fields: generalFields.map((field) => oneUnit(fieldModel(field, units), typed)),
    outlets: Array.from({ length: count }, (_, k) => {
      const rows = (filledRows(typed, k).at(-1) ?? -1) + 2;
      return {
        number: k + 1,
        fields: sketchOutletFields(k).map((field) => oneUnit(fieldModel(field, units), typed)),
        loads: Array.from({ length: Math.min(rows, sketchMost.loads) }, (_, i) => {
          const [name, amount, long] = loadNames(k, i);
          return { id: `load-${k + 1}-${i + 1}`, number: i + 1, name, amount, long };
        }),
      };
    }),
  };
}

/** The labels count a form's outlets and loads by their identities, which a sketch does not ask. */
function withIds(typed: FlatTyped): FlatTyped {
  const ids = Array.from({ length: outletCount(typed) }, (_, k) => [
    [`run.${k}.id`, 'sketched'],
    ...Array.from({ length: sketchMost.loads }, (_, i) => [`run.${k}.loads.${i}.id`, String(i)]),
  ]).flat();
  return { ...typed, ...Object.fromEntries(ids) };
}

/** A length in the one unit that the address names, so that a shared sketch says the same in every shop. */
function oneUnit(field: ReturnType<typeof fieldModel>, typed: FlatTyped) {
  if (!('units' in field)) return field;
  const unit = typed[`${field.name}.unit`];
  const units = field.units.filter((u) => u.value === unit);
  return units.length === 0 ? field : { ...field, units };
}

/** What follows from a sketch that can be read. */
function answer(circuit: Circuit, typed: FlatTyped, on: readonly string[], units: UnitSystem) {
  const lines = sheet(circuit).filter((line) => sketchedGroups.has(line.group));
  const missed = lines.filter(holdsCutting);
  const far = circuit.run.at(-1)!.id;
  const met = lines.filter((line) => !holdsCutting(line) && (line.group !== 'drop' || line.outlet === far));
  const drop = lines.find((line) => line.id === `drop.total.${far}`)!;
  const rows = loadRows(typed);
  const keys = on.flatMap((at) => rows.find((row) => row.at === at)?.key ?? []);
  const tried = tryLoadsModel(circuit, keys, { of: 'sketch-form' });
  return {
    said: [dropSentence(circuit, drop), missedSentence(missed)],
    missed: missed.map((line) => lineModel(line, units)),
    met: met.map((line) => lineModel(line, units)),
    drawing: drawPlanned(circuit, units),
    profile: drawProfile(circuit, units),
    shares: drawShares(circuit, drop),
    tried: tried && {
      ...tried,
      loads: tried.loads.map((load) => ({ ...load, key: rows.find((row) => row.key === load.key)!.at })),
    },
    job: `/jobs/new?${addressOf(typed, [])}`,
  };
}

function dropSentence(circuit: Circuit, { figures = {} }: SheetLine): string {
  const { amps = 0, volts = 0, percent = 0, supplyVolts = 0, cordVolts = 0, vanVolts = 0 } = figures;
  const left = circuit.supply.volts - volts;
  return (
    `With ${ampsText(amps)} at outlet ${circuit.run.length}: ${left.toFixed(1)} V there, ${percent.toFixed(1)} % under ${circuit.supply.volts} V. ` +
    `Of the ${volts.toFixed(1)} V lost, the supply takes ${supplyVolts.toFixed(1)} V, the cord ${cordVolts.toFixed(1)} V, the van’s cable ${vanVolts.toFixed(1)} V.`
  );
}

function missedSentence(missed: readonly SheetLine[]): string {
  if (missed.length === 0) return 'Every line that a sketch can look at meets its limit.';
  if (missed.length === 1) return `One line misses its limit: ${missed[0]!.title}.`;
  return `${missed.length} lines miss their limit: they stand below the drawings.`;
}

function drawShares({ supply }: Circuit, { figures = {} }: SheetLine) {
  const { supplyVolts = 0, cordVolts = 0, vanVolts = 0 } = figures;
  const most = (readingLimits.drop.value / 100) * supply.volts;
  return drawSumAgainst('shares', {
    title: 'Where the volts are lost on the way to the last outlet',
    unit: 'V',
    parts: [
      { label: 'supply, its own wires', value: supplyVolts },
      { label: 'cord', value: cordVolts },
      { label: 'the van’s cable', value: vanVolts },
    ],
    limit: {
      label: `${Number(most.toFixed(1))} V, ${readingLimits.drop.value} % of ${supply.volts} V`,
      value: most,
    },
  });
}

function lineModel(line: SheetLine, units: UnitSystem) {
  return {
    id: line.id,
    title: line.title,
    value: unitsFirst(line.value, units),
    limit: limitWords(line, units),
    verdict: line.verdict,
    word: verdictWords[line.verdict],
    formula: unitsFirst(line.formula, units),
    sources: line.sources.map(sourceText),
    mend: holdsCutting(line) ? line.mend : '',
  };
}
