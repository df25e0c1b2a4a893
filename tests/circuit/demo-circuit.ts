import { readFileSync } from 'node:fs';
import type { Circuit, CircuitInput } from '../../src/circuit/circuit.js';
import { parseCircuit } from '../../src/circuit/parse-circuit.js';
import { sheet } from '../../src/circuit/sheet.js';
import type { SheetLine } from '../../src/circuit/sheet-line.js';

const text = readFileSync(new URL('../../seed-demo/circuit.json', import.meta.url), 'utf8');

/** A fresh copy of the demonstration circuit as JSON. */
export function demoJson(): CircuitInput & Record<string, unknown> {
  return JSON.parse(text);
}

/** Values by path, `run.*.feed.awg` for every outlet; undefined takes the field out. */
export type Patch = Readonly<Record<string, unknown>>;

/** The demonstration circuit as JSON, changed by `patch`. */
export function demoPatched(patch: Patch): CircuitInput & Record<string, unknown> {
  const json = demoJson();
  for (const [path, value] of Object.entries(patch)) setAt(json, path.split('.'), value);
  return json;
}

/** The demonstration circuit, changed by `patch` before it is read. */
export function demoCircuit(patch: Patch = {}): Circuit {
  const parsed = parseCircuit(demoPatched(patch));
  if (!parsed.ok) throw new Error(parsed.issues.map((issue) => issue.message).join('; '));
  return parsed.value;
}

/** One line of the sheet of the demonstration circuit, changed by `patch`. */
export function demoLine(id: string, patch: Patch = {}): SheetLine {
  const found = sheet(demoCircuit(patch)).find((line) => line.id === id);
  if (!found) throw new Error(`the sheet has no line ${id}`);
  return found;
}

function setAt(target: unknown, [key, ...rest]: readonly string[], value: unknown): void {
  const fields = target as Record<string, unknown>;
  if (key === '*') for (const item of target as unknown[]) setAt(item, rest, value);
  else if (rest.length > 0) setAt(fields[key!], rest, value);
  else if (value === undefined) delete fields[key!];
  else fields[key!] = value;
}
