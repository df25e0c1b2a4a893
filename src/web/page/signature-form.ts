import { jsonIn } from '../../circuit/json-text.js';
import type { Result } from '../../errors.js';
import type { Person } from '../../logbook/fold-shop.js';
import { type Signature, signatureSchema } from '../../logbook/signature.js';
import { one, type Typed } from './form.js';

/**
 * A signature as a form carries it: the typed name, and the strokes as JSON where a box could be drawn in. Where a person of
 * the shop signs, the name is theirs: nobody signs as another, whatever their role.
 */
export function signatureFrom(typed: Typed, field = 'signature', signer?: Person): Result<Signature> {
  const strokes = strokesFrom(one(typed, `${field}.strokes`));
  const parsed = signatureSchema.safeParse({
    name: one(typed, `${field}.name`),
    strokes: strokes ?? 'unreadable',
  });
  if (parsed.success) {
    if (signer === undefined || plainName(parsed.data.name) === plainName(signer.name))
      return { ok: true, value: parsed.data };
    return {
      ok: false,
      issues: [{ field: `${field}.name`, message: `sign with your own name, ${signer.name}` }],
    };
  }
  const issues = parsed.error.issues.map(({ path, message }) =>
    path[0] === 'name'
      ? { field: `${field}.name`, message }
      : { field, message: 'cannot be read: draw it again, or leave the box empty' },
  );
  return { ok: false, issues: [issues[0]!, ...issues.slice(1).filter((i) => i.field !== issues[0]!.field)] };
}

function plainName(name: string): string {
  return name.normalize('NFKC').replace(/\s+/gu, ' ').trim().toLowerCase();
}

/** The strokes of an empty box are none. */
function strokesFrom(text: string): unknown {
  return text.trim() === '' ? [] : jsonIn(text);
}
