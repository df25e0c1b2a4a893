import type { z } from 'zod';

/** How the library begins what it says by itself; whatever else a schema says is our own. */
const libraryWords = /^(?:Invalid |Too (?:small|big): |Unrecognized key)/;

/**
 * What a value broke of its schema, to be read behind the field's name: the schema's own words where it has some, else plain
 * ones ("is missing", "must be a list"). `given` is the whole that was read.
 */
export function issueSentence(issue: z.core.$ZodIssue, given: unknown): string {
  if (issue.code !== 'custom' && valueAt(given, issue.path) === undefined) return 'is missing';
  if (!libraryWords.test(issue.message)) return issue.message;
  switch (issue.code) {
    case 'invalid_type':
      return `must be ${wordsForType[issue.expected] ?? 'what the format says'}`;
    case 'invalid_value':
      return `must be ${issue.values.map(String).join(' or ')}`;
    case 'too_small':
      return least(issue.origin, Number(issue.minimum), issue.inclusive !== false);
    case 'too_big':
      return most(issue.origin, Number(issue.maximum), issue.inclusive !== false);
    case 'unrecognized_keys':
      return `has what the format does not know: ${issue.keys.join(', ').slice(0, 80)}`;
    case 'invalid_format':
      return `must be ${wordsForFormat[issue.format] ?? 'written as the format says'}`;
    default:
      return 'must be what the format says';
  }
}

const wordsForType: Readonly<Record<string, string>> = {
  object: 'an object with its fields',
  record: 'an object with its fields',
  array: 'a list',
  tuple: 'a list',
  string: 'text',
  boolean: 'true or false',
  number: 'a number',
  int: 'a whole number',
};

const wordsForFormat: Readonly<Record<string, string>> = {
  date: 'a day such as 2026-09-16',
  datetime: 'a time such as 2026-09-16T10:00:00.000Z',
};

function least(origin: string, figure: number, itself: boolean): string {
  if (origin === 'string') return figure === 1 ? 'must not be empty' : `needs at least ${figure} characters`;
  if (origin === 'array') return `needs at least ${figure}`;
  return itself ? `must be at least ${figure}` : `must be above ${figure}`;
}

function most(origin: string, figure: number, itself: boolean): string {
  if (origin === 'string') return `takes at most ${figure} characters`;
  if (origin === 'array') return `takes at most ${figure}`;
  return itself ? `must be at most ${figure}` : `must be under ${figure}`;
}

function valueAt(given: unknown, path: readonly PropertyKey[]): unknown {
  let value = given;
  for (const key of path) {
    if (typeof value !== 'object' || value === null) return undefined;
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}
