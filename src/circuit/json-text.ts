/**
 * The value of a JSON text as a file holds it: a byte-order mark at its start, as some editors write it, is no part of it.
 * Throws SyntaxError where the rest is no JSON.
 */
export function jsonOf(text: string): unknown {
  return JSON.parse(text.replace(/^\uFEFF/, ''));
}

/** The value of a JSON text; undefined where it is none. */
export function jsonIn(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
