import { z } from 'zod';
import { issueSentence } from '../circuit/issue-sentence.js';
import { jsonOf } from '../circuit/json-text.js';
import type { Issue } from '../errors.js';
import { type ElectricalCircuit, electricalCircuitSchema } from './electrical-circuit.js';
import { type Meter, meterSchema } from './meter.js';
import { outletOf, parsePoint, placeOf } from './point.js';

const point = z.string().min(1).max(40);
const shownOhms = z.number().min(0, 'must not be negative').nullable();
const shownVolts = z.number().min(0, 'must not be negative: volts are entered without a sign');
const amps = z.number().positive('must be above 0 A').max(100);

/** Which of the three lamps light, whatever a maker prints beside them. */
const lamps = z.object({ hotNeutral: z.boolean(), hotGround: z.boolean(), neutralGround: z.boolean() });
export type Lamps = z.output<typeof lamps>;

const observation = z.literal('observation');

/** One reading as taken: what was touched, and what was shown (Ω, null for over-limit; V; yes or no; lamps). */
const readingSchema = z.union([
  z.object({ test: z.literal('resistance'), from: point, to: point, ohms: shownOhms }),
  z.object({
    test: z.literal('voltage'),
    from: point,
    to: point,
    volts: shownVolts,
    /** The meter's input resistance at this reading, Ω, where it is not the file's: its low-impedance range. */
    inputOhms: z.number().positive().optional(),
  }),
  z.object({ test: z.literal('loaded-voltage'), from: point, to: point, amps, volts: shownVolts }),
  z.object({ test: observation, what: z.literal('supply-holds'), answer: z.boolean() }),
  z.object({ test: observation, what: z.literal('gfci-resets'), answer: z.boolean() }),
  z.object({ test: observation, what: z.literal('dead-when-tripped'), at: point, answer: z.boolean() }),
  z.object({ test: observation, what: z.literal('holds-under-load'), at: point, amps, answer: z.boolean() }),
  z.object({ test: observation, what: z.literal('three-lamp'), at: point, lamps }),
]);
export type Reading = z.output<typeof readingSchema>;

type Without<T, K extends PropertyKey> = T extends unknown ? Omit<T, K> : never;
/** A reading without what it shows: what could be taken. */
export type Test = Without<Reading, 'ohms' | 'volts' | 'answer' | 'lamps'>;

export const readingsFileSchema = z.object({
  format: z.literal('inlet-readings/1', { error: 'must be "inlet-readings/1"' }),
  circuit: electricalCircuitSchema,
  meter: meterSchema,
  readings: z.array(readingSchema),
});

export interface ReadingsFile {
  readonly format: 'inlet-readings/1';
  readonly circuit: ElectricalCircuit;
  readonly meter: Meter;
  readonly readings: readonly Reading[];
}

/**
 * A readings file from its text, or what is wrong with it: each issue's field is the path in the file (`readings.3.from`),
 * each message the reason. A reading that names a point the circuit lacks, or shows what no meter shows, is refused.
 */
export function parseReadingsFile(
  text: string,
): { readonly ok: true; readonly file: ReadingsFile } | { readonly ok: false; readonly issues: Issue[] } {
  let json: unknown;
  try {
    json = jsonOf(text);
  } catch (error) {
    return { ok: false, issues: [{ field: 'file', message: `is not JSON: ${(error as Error).message}` }] };
  }
  const head = readingsFileSchema
    .extend({ readings: z.array(z.unknown(), { error: 'must be a list' }) })
    .safeParse(json);
  if (!head.success) return { ok: false, issues: head.error.issues.map((i) => issueOf(i, json)) };
  const { circuit, meter } = head.data;
  const readings: Reading[] = [];
  const issues: Issue[] = [];
  head.data.readings.forEach((raw, index) => {
    const answer = parseReading(circuit, raw);
    if (answer.ok) readings.push(answer.reading);
    else
      issues.push(
        ...answer.issues.map((i) => ({ ...i, field: `readings.${index}${i.field && `.${i.field}`}` })),
      );
  });
  return issues.length > 0
    ? { ok: false, issues }
    : { ok: true, file: { format: 'inlet-readings/1', circuit, meter, readings } };
}

/** One reading against the circuit it was taken on: its shape, its values, and whether its points exist. */
export function parseReading(
  circuit: ElectricalCircuit,
  raw: unknown,
): { readonly ok: true; readonly reading: Reading } | { readonly ok: false; readonly issues: Issue[] } {
  const known = knownShape(raw);
  if (typeof known === 'string') return { ok: false, issues: [{ field: '', message: known }] };
  const parsed = known.safeParse(raw);
  if (!parsed.success) return { ok: false, issues: parsed.error.issues.map((i) => issueOf(i, raw)) };
  const reading = parsed.data as Reading;
  const issues = testIssues(circuit, reading as Test);
  return issues.length > 0 ? { ok: false, issues } : { ok: true, reading };
}

/** The outlet that a load stands in while volts are read from here: its own, or the last where they are read at the supply's slots. */
export function loadedOutlet(circuit: ElectricalCircuit, from: string): number | undefined {
  return placeOf(from) === 'supply' ? circuit.run.length : outletOf(from);
}

/** What keeps a test from being taken on this circuit: points that it lacks, or that cannot be touched in that state. */
function testIssues(circuit: ElectricalCircuit, test: Test): Issue[] {
  if (test.test === 'observation') {
    if (!('at' in test)) return [];
    const outlet = outletOf(test.at);
    const exists = outlet !== undefined && test.at === `outlet${outlet}` && outlet <= circuit.run.length;
    return exists ? [] : [{ field: 'at', message: `names "${test.at}", an outlet that this circuit lacks` }];
  }
  const issues: Issue[] = [];
  for (const field of ['from', 'to'] as const) {
    const at = parsePoint(circuit, test[field]);
    if (at === undefined)
      issues.push({ field, message: `names "${test[field]}", a point that this circuit lacks` });
    else if (test.test !== 'resistance' && at.at === 'plug') {
      issues.push({ field, message: `names "${test[field]}", which cannot be touched while the cord is in` });
    }
  }
  if (issues.length === 0 && test.from === test.to)
    issues.push({ field: 'to', message: 'is the same point as "from"' });
  if (
    issues.length === 0 &&
    test.test === 'loaded-voltage' &&
    loadedOutlet(circuit, test.from) === undefined
  ) {
    issues.push({
      field: 'from',
      message: 'must be a slot of the outlet that the load is plugged into, or of the supply',
    });
  }
  return issues;
}

/** The one shape that a raw reading claims to be, so that its errors speak of that shape alone; else the reason. */
function knownShape(raw: unknown): (typeof readingSchema.options)[number] | string {
  const { test, what } = (raw ?? {}) as { test?: unknown; what?: unknown };
  const ofTest = readingSchema.options.filter((o) => o.shape.test.value === test);
  if (ofTest.length === 0) return `is an unknown test: ${JSON.stringify(test) ?? 'none named'}`;
  if (test !== 'observation') return ofTest[0]!;
  const ofWhat = ofTest.find((o) => 'what' in o.shape && o.shape.what.safeParse(what).success);
  return ofWhat ?? `is an unknown observation: ${JSON.stringify(what) ?? 'none named'}`;
}

function issueOf(issue: z.core.$ZodIssue, given: unknown): Issue {
  return { field: issue.path.map(String).join('.'), message: issueSentence(issue, given) };
}
