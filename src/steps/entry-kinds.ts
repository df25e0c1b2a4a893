import type { EntryKind } from '../logbook/entry.js';
import type { Role } from '../logbook/shop-entry.js';

interface KindRule {
  /** The roles of which one is needed; whoever comes by an owner's link holds none. */
  readonly by: readonly Role[] | 'anyone';
  /** It may be written once the job is set aside or closed, too. */
  readonly atRest?: true;
  /**
   * What of all that was signed before it no longer holds: the `proof`, so that a record is in question; the `work`, so that the
   * second look is given again; the `record` alone, which does not show it; or `nothing`. Each takes those after it along.
   */
  readonly changes: 'proof' | 'work' | 'record' | 'nothing';
}

/** What the rules ask of each kind of entry before they look into it. */
export const kindRules: Readonly<Record<EntryKind, KindRule>> = {
  'job described': { by: ['fitter', 'keeper'], changes: 'work' },
  'circuit set': { by: ['fitter'], changes: 'proof' },
  'step done': { by: ['fitter'], changes: 'work' },
  'step reopened': { by: ['fitter', 'checker'], changes: 'proof' },
  'reading taken': { by: ['fitter', 'checker'], changes: 'work' },
  'reading struck': { by: ['fitter', 'checker'], changes: 'proof' },
  'photo added': { by: ['fitter', 'checker'], changes: 'record' },
  'defect raised': { by: ['fitter', 'checker'], changes: 'proof' },
  'defect reworked': { by: ['fitter'], changes: 'work' },
  'concession granted': { by: ['checker', 'keeper'], changes: 'work' },
  'second look signed': { by: ['checker'], changes: 'nothing' },
  'record issued': { by: ['fitter', 'keeper'], changes: 'record' },
  'record withdrawn': { by: ['fitter', 'keeper'], atRest: true, changes: 'nothing' },
  'instrument questioned': { by: ['keeper'], atRest: true, changes: 'proof' },
  'owner acknowledged': { by: 'anyone', atRest: true, changes: 'nothing' },
  'job set aside': { by: ['fitter', 'keeper'], changes: 'nothing' },
  'job taken up': { by: ['fitter', 'keeper'], atRest: true, changes: 'nothing' },
  'job closed': { by: ['fitter', 'keeper'], changes: 'nothing' },
};

/** Whether somebody with these roles may write such an entry. */
export function mayWrite(kind: EntryKind, roles: readonly Role[]): boolean {
  const { by } = kindRules[kind];
  return by === 'anyone' || by.some((role) => roles.includes(role));
}

/** Whether what a second look looked at is another after such an entry. */
export function changesTheWork(kind: EntryKind): boolean {
  const { changes } = kindRules[kind];
  return changes === 'proof' || changes === 'work';
}
