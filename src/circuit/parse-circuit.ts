import type { z } from 'zod';
import type { Issue, Result } from '../errors.js';
import { type Circuit, circuitSchema } from './circuit.js';
import { issueSentence } from './issue-sentence.js';

/**
 * Reads a circuit out of parsed JSON. Every issue names its field twice: `field` as the path (`run.1.feed.awg`),
 * and the message begins with the same in words ("run 2 · feed · awg"). A field that circuits do not have is refused.
 */
export function parseCircuit(json: unknown): Result<Circuit> {
  if (typeof json !== 'object' || json === null || Array.isArray(json))
    return { ok: false, issues: [{ field: '', message: 'circuit: must be one object with its fields' }] };
  const parsed = circuitSchema.safeParse(json);
  if (!parsed.success)
    return { ok: false, issues: parsed.error.issues.map((issue) => circuitIssue(issue, json)) };
  const unknown = unknownFields(json, parsed.data, []);
  if (unknown.length > 0) return { ok: false, issues: unknown };
  return { ok: true, value: parsed.data };
}

/** "run 2 · feed · awg" for `run.1.feed.awg`: places in lists counted from 1, as people count. */
export function fieldLabel(path: readonly PropertyKey[]): string {
  const parts: string[] = [];
  for (const key of path) {
    if (typeof key === 'number' && parts.length > 0) parts.push(`${parts.pop()} ${key + 1}`);
    else parts.push(String(key));
  }
  return parts.length === 0 ? 'circuit' : parts.join(' · ');
}

function circuitIssue(issue: z.core.$ZodIssue, json: object): Issue {
  return {
    field: issue.path.map(String).join('.'),
    message: `${fieldLabel(issue.path)}: ${issueSentence(issue, json)}`,
  };
}

/** What was typed must not vanish: a field that the schema let fall is an issue. */
function unknownFields(given: unknown, kept: unknown, path: readonly PropertyKey[]): Issue[] {
  if (Array.isArray(given) && Array.isArray(kept))
    return given.flatMap((item, k) => unknownFields(item, kept[k], [...path, k]));
  if (!isRecord(given) || !isRecord(kept)) return [];
  return Object.keys(given).flatMap((key) => {
    const at = [...path, key];
    if (given[key] !== undefined && !Object.hasOwn(kept, key))
      return [{ field: at.map(String).join('.'), message: `${fieldLabel(at)}: is no field of a circuit` }];
    return unknownFields(given[key], kept[key], at);
  });
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
