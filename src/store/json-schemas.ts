import { z } from 'zod';
import { circuitSchema } from '../circuit/circuit.js';
import { type EntryKind, entryBodies, entryKinds } from '../logbook/entry.js';
import { readingsFileSchema } from '../meter/readings-file.js';
import { recordFactsSchema } from '../record/record-facts.js';
import { fileEntry, jobFileSchema } from './carry/job-file.js';

/** A job file with the body that each kind of entry has; reading one tells a wrong body in words of its own. */
const jobFile = jobFileSchema.extend({
  entries: z
    .array(z.union(entryKinds.map(entryOf)))
    .min(1)
    .max(20_000),
});

function entryOf(kind: EntryKind) {
  return fileEntry.extend({ kind: z.literal(kind), body: entryBodies[kind] });
}

/**
 * The JSON Schema (2020-12) of every file format, by its name, made from what reads it. A schema says what a file looks
 * like; what its parts must say of each other (a point that the circuit has, a chain that holds) is judged when it is read.
 */
export const jsonSchemas: Readonly<Record<string, () => object>> = {
  'inlet-circuit-1': () =>
    made('inlet-circuit-1', 'A circuit: supply, cord, inlet, run and loads', circuitSchema),
  'inlet-readings-1': () =>
    made('inlet-readings-1', 'A circuit and readings taken on it', readingsFileSchema),
  'inlet-job-1': () => made('inlet-job-1', 'A job: its whole logbook, its photos and records', jobFile),
  'inlet-record-1': () =>
    made('inlet-record-1', 'What a record says of itself to a machine', recordFactsSchema),
};

function made(name: string, title: string, schema: z.ZodType): object {
  const { $schema, ...rest } = z.toJSONSchema(schema, { io: 'input' });
  return { $schema, $id: `urn:inlet-logbook:${name}`, title, ...rest };
}
