/** A value that JSON can carry. */
export type Json =
  | string
  | number
  | boolean
  | null
  | readonly Json[]
  | { readonly [key: string]: Json | undefined };

/**
 * The canonical text of a JSON value: keys in UTF-16 code-unit order, shortest numbers, no white space.
 * Keys whose value is undefined are left out. Throws RangeError for a number that is not finite and for a
 * lone surrogate, which have no canonical form.
 * @source RFC 8785 (JSON Canonicalization Scheme)
 */
export function canonicalJson(value: Json): string {
  if (typeof value === 'string') return quoted(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new RangeError('a number that is not finite has no canonical form');
    return JSON.stringify(value);
  }
  if (value === null || typeof value === 'boolean') return String(value);
  // One text that grows takes half the time of lists that are joined, and a record's document has 2,000 objects.
  let inside = '';
  if (Array.isArray(value)) {
    for (const member of value as readonly Json[])
      inside += inside === '' ? canonicalJson(member) : `,${canonicalJson(member)}`;
    return `[${inside}]`;
  }
  const object = value as { readonly [key: string]: Json | undefined };
  for (const key of Object.keys(object).sort()) {
    const member = object[key];
    if (member !== undefined) inside += `${inside === '' ? '' : ','}${quoted(key)}:${canonicalJson(member)}`;
  }
  return `{${inside}}`;
}

/** Text without anything that is escaped in JSON, and without surrogates, whole ones or halves. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the ones that JSON escapes
const plain = /^[^"\\\u0000-\u001f\ud800-\udfff]*$/;

function quoted(text: string): string {
  if (plain.test(text)) return `"${text}"`;
  if (!text.isWellFormed()) throw new RangeError('a lone surrogate has no canonical form');
  return JSON.stringify(text);
}
