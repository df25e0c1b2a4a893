import { z } from 'zod';
import { circuitSchema } from '../../src/circuit/circuit.js';

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

/** Every field that the schema has, in its order. */
export const circuitFields: readonly CircuitField[] = leaves(
  z.toJSONSchema(circuitSchema, { io: 'input', unrepresentable: 'any' }) as Node,
  [],
);

/** Values that a field may have beside `now`; the circuit as a whole may still refuse one. */
export function otherValues({ schema }: CircuitField, now: unknown): unknown[] {
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
