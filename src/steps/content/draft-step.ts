import type { Ask, Step } from '../step.js';

/** A step before it has its place in today's list and its readings. */
export type DraftStep = Omit<Step, 'number' | 'readings'>;

type Needed = Pick<Step, 'id' | 'stage' | 'title' | 'do' | 'why' | 'rightWhen' | 'sources'>;

/** A step with what was left out filled in: no cautions, nothing asked, waits for nothing, a named person may concede. */
export function draftStep(given: Needed & Partial<DraftStep>): DraftStep {
  return {
    cautions: [],
    asks: [],
    waitsFor: [],
    concession: 'named-person',
    parts: [],
    basis: {},
    ...given,
  };
}

export const tick = (id: string, label: string): Ask => ({ kind: 'tick', id, label });
export const optionalTick = (id: string, label: string): Ask => ({ kind: 'tick', id, label, optional: true });
export const photo = (id: string, label: string): Ask => ({ kind: 'photo', id, label });
export const note = (id: string, label: string): Ask => ({ kind: 'note', id, label });
export const optionalNote = (id: string, label: string): Ask => ({ kind: 'note', id, label, optional: true });
export const person = (id: string, label: string): Ask => ({ kind: 'person', id, label });
/** A second person, who is not the one that writes the step. */
export const another = (id: string, label: string): Ask => ({ kind: 'person', id, label, another: true });

/** Who looked again, where a step is seen by two. */
export const lookedAgain = another(
  'witness',
  'Who looked again; alone: why, and that you paused ten minutes',
);

/** A choice of `[value, label]`, or `[value, label, why it is refused]`. */
export function choice(
  id: string,
  label: string,
  options: readonly (readonly [string, string] | readonly [string, string, string])[],
): Extract<Ask, { kind: 'choice' }> {
  return {
    kind: 'choice',
    id,
    label,
    options: options.map(([value, said, refused]) =>
      refused === undefined ? { value, label: said } : { value, label: said, refused },
    ),
  };
}

type ValueAsk = Extract<Ask, { kind: 'value' }>;

/** A measured value; limits in SI. Optional fields that are undefined are left out. */
export function value(
  given: Omit<ValueAsk, 'kind' | 'min' | 'max' | 'expected'> & {
    readonly min?: number | undefined;
    readonly max?: number | undefined;
    readonly expected?: number | undefined;
  },
): Ask {
  const { min, max, expected, ...rest } = given;
  return {
    kind: 'value',
    ...rest,
    ...(min === undefined ? {} : { min }),
    ...(max === undefined ? {} : { max }),
    ...(expected === undefined ? {} : { expected }),
  };
}

export const millimetres = { metric: 'mm', imperial: 'in' } as const;
export const metres = { metric: 'm', imperial: 'ft' } as const;
export const torqueUnits = { metric: 'N·m', imperial: 'in-lbf' } as const;
export const ohms = { metric: 'Ω', imperial: 'Ω' } as const;
export const volts = { metric: 'V', imperial: 'V' } as const;
export const celsius = { metric: '°C', imperial: '°F' } as const;
export const minutes = { metric: 'min', imperial: 'min' } as const;
export const pieces = { metric: '', imperial: '' } as const;
