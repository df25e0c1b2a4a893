import type { Fault } from './fault.js';
import type { Layout } from './layout.js';
import { type LiveState, type LoadAt, type Read, settle } from './live-state.js';

/** How breaker and devices stand, without a load and with each of some loads; with the networks where they are solved. */
export interface Posture {
  readonly breakerHolds: boolean;
  /** 1 where every device resets, 0, or NaN where it cannot be said; so under each load, the breaker counted in. */
  readonly resets: number;
  readonly contacts: readonly boolean[];
  readonly loaded: readonly {
    readonly breakerHolds: boolean;
    readonly holds: number;
    readonly contacts: readonly boolean[];
  }[];
  readonly solved?: { readonly layout: Layout; readonly free: Read; readonly loaded: readonly Read[] };
}

/** The posture that the model's thresholds give, and behind it the one that may be as well where a threshold is near. */
export function posturesOf(
  layout: Layout,
  faults: readonly Fault[],
  loads: readonly LoadAt[],
  supplyShare = 1,
): { readonly postures: readonly Posture[]; readonly closedA: number } {
  const free = settle(layout, faults, undefined, supplyShare);
  const { breakerHolds, closedA } = free;
  const loaded = breakerHolds ? loads.map((load) => settle(layout, faults, load, supplyShare)) : [];
  const own: Posture = {
    breakerHolds,
    resets: Number(free.holds),
    contacts: free.contacts,
    loaded: loaded.map((u) => ({ ...u, holds: Number(u.holds) })),
    solved: { layout, free, loaded },
  };
  if (!mayDiffer(free) && !loaded.some(mayDiffer)) return { postures: [own], closedA };
  const other: Posture = {
    breakerHolds,
    resets: mayDiffer(free) ? Number.NaN : own.resets,
    contacts: free.otherContacts ?? free.contacts,
    loaded: loaded.map((u) => ({
      breakerHolds: u.breakerHolds,
      contacts: u.otherContacts ?? u.contacts,
      holds: mayDiffer(u) || mayDiffer(free) ? Number.NaN : Number(u.holds),
    })),
  };
  return { postures: [own, other], closedA };
}

/** Each posture once. */
export function distinctPostures(postures: readonly Posture[]): Posture[] {
  const keyOf = ({ breakerHolds, resets, contacts, loaded }: Posture) =>
    [breakerHolds, resets, contacts, ...loaded.map((u) => [u.breakerHolds, u.holds, u.contacts])].join();
  return [...new Map(postures.map((p) => [keyOf(p), p])).values()];
}

/** Where the breaker opens in one of them, it may open under the load alone. */
export function withFallsUnderLoad(postures: readonly Posture[]): readonly Posture[] {
  const opens = (p: Posture) => !p.breakerHolds || p.loaded.some((u) => !u.breakerHolds);
  if (!postures.some(opens)) return postures;
  const fallen = postures.map((p) => ({
    ...p,
    loaded: p.loaded.map((u) => ({ ...u, breakerHolds: false, holds: 0 })),
  }));
  return [...postures, ...fallen];
}

const mayDiffer = ({ otherContacts }: LiveState) => otherContacts !== undefined;
