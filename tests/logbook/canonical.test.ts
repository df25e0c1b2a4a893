import fc from 'fast-check';
import { expect, test } from 'vitest';
import { canonicalJson, type Json } from '../../src/logbook/canonical.js';

test('the examples of RFC 8785 come out as it prints them', () => {
  const values = JSON.parse(
    String.raw`{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001, -0],
      "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}`,
  ) as Json;
  expect(canonicalJson(values)).toBe(
    String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27,0],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
  );
  const keys = {
    ...{ '\u20ac': 'Euro', '\r': 'Return', '\ufb33': 'Dalet', 1: 'One' },
    ...{ '\ud83d\ude00': 'Emoji', '\u0080': 'Control', '\u00f6': 'o' },
  };
  expect(Object.values(JSON.parse(canonicalJson(keys)) as object)).toHaveLength(7);
  expect(
    canonicalJson(keys)
      .match(/(?<=:")[A-Za-z]+/g)
      ?.join(' '),
  ).toBe('Return One Control o Euro Emoji Dalet');
});

test('any value is read back as it was, whatever the order of its keys, and its text is what plain JSON writes of it in order', () => {
  fc.assert(
    fc.property(fc.jsonValue({ stringUnit: 'binary' }), (value) => {
      const text = canonicalJson(value as Json);
      expect(text).toBe(plainly(value as Json));
      expect(canonicalJson(backwards(value as Json))).toBe(text);
    }),
    { numRuns: 500 },
  );
});

test('a key without a value is left out; half a surrogate pair and a number without end have no text', () => {
  expect(canonicalJson({ b: undefined, a: [], c: {} })).toBe('{"a":[],"c":{}}');
  expect(canonicalJson({ '': '', a: '\u2028' })).toBe('{"":"","a":"\u2028"}');
  for (const none of ['\ud800', 'a\udc00"', { '\udfff': 1 }, [Number.NaN], { a: Number.POSITIVE_INFINITY }])
    expect(() => canonicalJson(none as Json)).toThrow(RangeError);
});

/** The same, member by member, as the words of the standard go. */
function plainly(value: Json): string {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  if (Array.isArray(value)) return `[${value.map(plainly).join()}]`;
  const object = value as Record<string, Json>;
  const keys = Object.keys(object).sort();
  return `{${keys.map((key) => `${JSON.stringify(key)}:${plainly(object[key] as Json)}`).join()}}`;
}

function backwards(value: Json): Json {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map(backwards);
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, member]) => [key, backwards(member as Json)]),
  );
}
