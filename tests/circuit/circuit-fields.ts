import { z } from 'zod';
import { type Circuit, circuitSchema } from '../../src/circuit/circuit.js';
import { demoPatched, type Patch } from './demo-circuit.js';

/** One field of the circuit by its path (`run.0.feed.awg`: the first of each list), and what the schema says of it. */
export interface CircuitField {
  readonly path: string;
  readonly schema: Node;
}

interface Node {
  readonly type?: string;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly { readonly const?: unknown }[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly items?: Node;
}

/** Each is an own one, so that a field of it is that one's alone. */
const box = { volumeCm3: 300, depthMm: 40, material: 'metal', clamps: 'internal' };
/** The demonstration's circuit with everything described that may be left out. */
const whole: Patch = {
  inletWire: { awg: 10, lengthM: 0.5, outsideDiameterMm: 12 },
  'inlet.box': { ...box },
  'inlet.torqueNm': 1.2,
  'entry.clampMinMm': 5,
  'entry.clampMaxMm': 20,
  'breaker.box': { ...box },
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

/** Every field of the schema that may be another by itself: a circuit, and the circuits that are apart from it by that field alone. */
export function fieldChanges(): readonly { path: string; base: Circuit; others: readonly Circuit[] }[] {
  const circuits = (patch: Patch) => {
    const { data } = circuitSchema.safeParse(demoPatched(structuredClone(patch)));
    return data === undefined ? [] : [data];
  };
  return circuitFields
    .filter(({ path }) => ![...unchanging, ...names].includes(path))
    .map((field) => {
      const { path } = field;
      const patch = path.endsWith('.amps') && path.includes('.loads.') ? inAmps : whole;
      const now = path.split('.').reduce<unknown>((at, key) => Object(at)[key], demoPatched(patch));
      const others = otherValues(field, now).flatMap((value) => circuits({ ...patch, [path]: value }));
      return { path, base: circuits(patch)[0] as Circuit, others };
    });
}

/** Every field that the schema has, in its order. */
export const circuitFields: readonly CircuitField[] = leaves(
  z.toJSONSchema(circuitSchema, { io: 'input', unrepresentable: 'any' }) as Node,
  [],
);

/** Values that a field may have beside `now`; the circuit as a whole may still refuse one. */
function otherValues({ schema }: CircuitField, now: unknown): unknown[] {
  const { minimum = 0, maximum = 0 } = schema;
  if (schema.enum) return schema.enum.filter((value) => value !== now);
  if (schema.anyOf) return schema.anyOf.map((choice) => choice.const).filter((value) => value !== now);
  if (schema.type === 'boolean') return [now !== true];
  if (schema.type === 'number')
    return [0.9 * Number(now), 1.1 * Number(now)].filter((value) => value >= minimum && value <= maximum);
  return schema.type === 'string' ? ['STOOW'] : [];
}

function leaves(schema: Node, path: readonly string[]): CircuitField[] {
  const { properties, items } = schema;
  if (properties) return Object.entries(properties).flatMap(([key, node]) => leaves(node, [...path, key]));
  return items ? leaves(items, [...path, '0']) : [{ path: path.join('.'), schema }];
}
