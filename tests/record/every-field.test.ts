import { expect, test } from 'vitest';
import { circuitSchema } from '../../src/circuit/circuit.js';
import { recordDocument } from '../../src/record/document.js';
import { circuitFields, otherValues } from '../circuit/circuit-fields.js';
import { demoPatched, type Patch } from '../circuit/demo-circuit.js';
import { jobOf, played } from '../steps/played.js';
import { sampleInput } from './sample-record.js';

const box = { volumeCm3: 300, depthMm: 40, material: 'metal', clamps: 'internal' };
/** The demonstration's circuit with everything described that may be left out. */
const whole: Patch = {
  inletWire: { awg: 10, lengthM: 0.5, outsideDiameterMm: 12 },
  'inlet.box': box,
  'inlet.torqueNm': 1.2,
  'entry.clampMinMm': 5,
  'entry.clampMaxMm': 20,
  'breaker.box': box,
  'breaker.torqueNm': 1.4,
  'run.0.box.depthMm': 45,
  'run.0.torqueNm': 1.6,
  otherSources: [{ kind: 'inverter', keptOff: 'own-relay', metalCase: true, note: 'under the bench' }],
  note: 'as measured',
};
/** A load has watts or amps. */
const inAmps: Patch = { ...whole, 'run.0.loads.0.watts': undefined, 'run.0.loads.0.amps': 2 };
/** One value alone; or names by which others call it, so that one alone cannot change. */
const unchanging = ['format', 'supply.volts', 'run.0.id', 'run.0.loads.0.name'];
const names = ['together.0.loads.0.outlet', 'together.0.loads.0.load'];
const fields = circuitFields.filter(({ path }) => ![...unchanging, ...names].includes(path));

test.each(fields)('$path is told on the pages of a record', (field) => {
  const base = field.path.endsWith('.amps') && field.path.includes('.loads.') ? inAmps : whole;
  const now = field.path.split('.').reduce<unknown>((at, key) => Object(at)[key], demoPatched(base));
  const before = pagesOf(base);
  const others = otherValues(field, now)
    .map((value) => pagesOf({ ...structuredClone(base), [field.path]: value }))
    .filter((pages) => pages !== undefined);
  expect(others.length).toBeGreaterThan(0);
  for (const pages of others) expect(pages).not.toBe(before);
});

/** Everything printed of a job that has nothing but this circuit; undefined where the circuit is refused. */
function pagesOf(patch: Patch): string | undefined {
  const circuit = circuitSchema.safeParse(demoPatched(patch));
  if (!circuit.success) return undefined;
  const { cover, sections } = recordDocument(jobOf(played(circuit.data)), sampleInput);
  // Its digests are others whatever is told.
  const told = sections.filter((s) => s.title !== 'How to check this record');
  return JSON.stringify([cover, told], (key, value) => (key === 'shapes' ? undefined : value));
}
