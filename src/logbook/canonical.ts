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
  if (value === null || typeof value === 'boolean') return String(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new RangeError('a number that is not finite has no canonical form');
    return JSON.stringify(value);
  }
  if (typeof value === 'string') {
    if (!value.isWellFormed()) throw new RangeError('a lone surrogate has no canonical form');
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map((v: Json) => canonicalJson(v)).join(',')}]`;
  const object = value as { readonly [key: string]: Json | undefined };
  const members = Object.keys(object)
    .filter((key) => object[key] !== undefined)
    .sort()
    .map((key) => `${canonicalJson(key)}:${canonicalJson(object[key] as Json)}`);
  return `{${members.join(',')}}`;
}
