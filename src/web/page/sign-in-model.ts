import { fieldWords, type Typed } from './form.js';
import { notKept, packed, readable } from './kept-form.js';
import type { KeptForm } from './kept-forms.js';

/** The page on which one signs in: where it leads, and what was typed before, which goes along and is filled in again there. */
export function signInModel(next: string, kept?: KeptForm) {
  const whole = kept && packed(kept, 'signIn');
  return {
    title: 'Sign in',
    labels: { signIn: 'Sign-in name' },
    next,
    kept: whole ?? '',
    typed: kept === undefined ? [] : typedFacts(kept.typed),
    filesSaid: notKept(kept?.files ?? 0),
    keptSaid: kept && whole === undefined ? 'It is too long to be filled in again: copy it from here.' : '',
  };
}

/** What was typed, as terms with their values. */
export function typedFacts(typed: Typed): { term: string; value: string }[] {
  return readable(typed).map(({ name, value }) => ({ term: fieldWords(name), value }));
}
