/**
 * How sure a value is: A seen in an authoritative copy or two independent ones; B seen in one secondary copy;
 * C from memory, confident; D from memory, unsure (never decides a pass or a fail alone).
 */
export type Sure = 'A' | 'B' | 'C' | 'D';

/** Where a value or a rule comes from. `clause` names the place in it. */
export interface Source {
  readonly publication: string;
  readonly clause?: string;
  readonly sure: Sure;
  /** Said wherever the value is shown, for instance "common practice, no source". */
  readonly note?: string;
}

/** "NEC 2023 314.16(B)(1)", with "(from memory)" behind it where it is. */
export function sourceText(source: Source): string {
  const place = source.clause ? `${source.publication} ${source.clause}` : source.publication;
  const fromMemory = source.sure === 'C' || source.sure === 'D';
  const said = source.note ?? (fromMemory ? 'from memory, check your edition' : '');
  return said === '' ? place : `${place} (${said})`;
}

export const commonPractice: Source = { publication: 'Common practice', sure: 'C', note: 'no source' };
export const judgement: Source = { publication: 'Judgement of this project', sure: 'C', note: 'no source' };
