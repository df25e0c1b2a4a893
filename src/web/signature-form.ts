import type { Result } from '../errors.js';
import { type Signature, signatureSchema } from '../logbook/signature.js';
import { one, type Typed } from './form.js';

/** A signature as a form carries it: the typed name, and the strokes as JSON where a box could be drawn in. */
export function signatureFrom(typed: Typed, field = 'signature'): Result<Signature> {
  const strokes = strokesFrom(one(typed, `${field}.strokes`));
  const parsed = signatureSchema.safeParse({
    name: one(typed, `${field}.name`),
    strokes: strokes ?? 'unreadable',
  });
  if (parsed.success) return { ok: true, value: parsed.data };
  const issues = parsed.error.issues.map(({ path, message }) =>
    path[0] === 'name'
      ? { field: `${field}.name`, message }
      : { field, message: 'cannot be read: draw it again, or leave the box empty' },
  );
  return { ok: false, issues: [issues[0]!, ...issues.slice(1).filter((i) => i.field !== issues[0]!.field)] };
}

function strokesFrom(text: string): unknown {
  if (text.trim() === '') return [];
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
