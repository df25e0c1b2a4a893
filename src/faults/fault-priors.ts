import type { Conductor } from '../meter/electrical-circuit.js';
import type { Fault } from '../meter/fault.js';

/**
 * How likely each fault is before any reading: weights per thousand first tests of new work that find something, spread over
 * the places where the fault can be. All of it is judgement; a rare fault that no reading can part from a common one stands
 * no lower than a quarter of it, so that both stay side by side.
 */
export interface PriorRow {
  readonly fault: Fault['fault'];
  readonly where: 'supply' | 'cord' | 'inlet' | 'bond' | 'feed' | 'outlet';
  /** The conductor, or two in the order of the trade; absent where the fault names none. */
  readonly on?: Conductor | `${Conductor}-${Conductor}`;
  readonly weight: number;
  readonly reason: string;
}

export const priorRows: readonly PriorRow[] = [
  {
    fault: 'open',
    where: 'feed',
    on: 'ground',
    weight: 100,
    reason: 'a pigtail missed in the splice, a ground not landed',
  },
  {
    fault: 'open',
    where: 'feed',
    on: 'neutral',
    weight: 60,
    reason: 'a wire beside its clamp, a cut strand; white hides in the fold',
  },
  { fault: 'open', where: 'feed', on: 'hot', weight: 45, reason: 'a wire beside its clamp, a cut strand' },
  { fault: 'open', where: 'bond', weight: 55, reason: 'the bond left off' },
  { fault: 'open', where: 'cord', on: 'ground', weight: 20, reason: 'a ground pin gone' },
  {
    fault: 'open',
    where: 'cord',
    on: 'neutral',
    weight: 8,
    reason: 'a conductor broken where the cord flexes',
  },
  { fault: 'open', where: 'cord', on: 'hot', weight: 8, reason: 'a conductor broken where the cord flexes' },
  { fault: 'open', where: 'supply', on: 'ground', weight: 45, reason: 'an old two-wire outlet' },
  { fault: 'open', where: 'supply', on: 'neutral', weight: 12, reason: 'a poor splice in the building' },
  { fault: 'open', where: 'supply', on: 'hot', weight: 12, reason: 'the supply is off' },
  {
    fault: 'swapped',
    where: 'feed',
    on: 'hot-neutral',
    weight: 43,
    reason: 'white on brass; a swapped pair at a device is likelier than a broken conductor',
  },
  {
    fault: 'swapped',
    where: 'feed',
    on: 'neutral-ground',
    weight: 8,
    reason: 'white and bare mixed at a splice',
  },
  {
    fault: 'swapped',
    where: 'feed',
    on: 'hot-ground',
    weight: 4,
    reason: 'hot and bare mixed at a splice; rare',
  },
  { fault: 'swapped', where: 'cord', on: 'hot-neutral', weight: 12, reason: 'an end made at home' },
  { fault: 'swapped', where: 'cord', on: 'neutral-ground', weight: 5, reason: 'an end made at home' },
  { fault: 'swapped', where: 'cord', on: 'hot-ground', weight: 4, reason: 'an end made at home' },
  {
    fault: 'swapped',
    where: 'supply',
    on: 'hot-neutral',
    weight: 30,
    reason: 'a common slip in outlets as met',
  },
  { fault: 'swapped', where: 'supply', on: 'neutral-ground', weight: 5, reason: 'rare in outlets as met' },
  { fault: 'swapped', where: 'supply', on: 'hot-ground', weight: 4, reason: 'rare in outlets as met' },
  {
    fault: 'face-swapped',
    where: 'outlet',
    on: 'hot-neutral',
    weight: 43,
    reason: 'pigtails on each other’s screws',
  },
  {
    fault: 'face-swapped',
    where: 'outlet',
    on: 'neutral-ground',
    weight: 8,
    reason: 'white and bare pigtails mixed',
  },
  {
    fault: 'face-swapped',
    where: 'outlet',
    on: 'hot-ground',
    weight: 4,
    reason: 'hot and bare pigtails mixed; rare',
  },
  {
    fault: 'face-open',
    where: 'outlet',
    on: 'hot',
    weight: 15,
    reason: 'a pigtail pulled off its screw, a worn contact',
  },
  {
    fault: 'face-open',
    where: 'outlet',
    on: 'neutral',
    weight: 18,
    reason: 'a pigtail pulled off its screw, a worn contact',
  },
  {
    fault: 'face-open',
    where: 'outlet',
    on: 'ground',
    weight: 28,
    reason: 'a ground pigtail missed at the device',
  },
  {
    fault: 'joined',
    where: 'outlet',
    on: 'neutral-ground',
    weight: 60,
    reason: 'a bare ground on a silver screw',
  },
  { fault: 'joined', where: 'outlet', on: 'hot-ground', weight: 40, reason: 'a trim screw, a nick, damp' },
  {
    fault: 'joined',
    where: 'outlet',
    on: 'hot-neutral',
    weight: 16,
    reason: 'a stray strand, a crushed cable',
  },
  {
    fault: 'joined',
    where: 'inlet',
    on: 'neutral-ground',
    weight: 35,
    reason: 'a bonding screw or strap left in the breaker’s box',
  },
  {
    fault: 'joined',
    where: 'inlet',
    on: 'hot-ground',
    weight: 12,
    reason: 'damp in the inlet’s box, a nick where the cable enters',
  },
  { fault: 'joined', where: 'inlet', on: 'hot-neutral', weight: 8, reason: 'a stray strand, damp' },
  {
    fault: 'high-resistance',
    where: 'feed',
    on: 'neutral',
    weight: 80,
    reason: 'a loose or unclamped terminal',
  },
  {
    fault: 'high-resistance',
    where: 'supply',
    weight: 60,
    reason: 'a long or thin way from the source, an extension ahead of the cord',
  },
  { fault: 'high-resistance', where: 'feed', on: 'hot', weight: 50, reason: 'a loose or unclamped terminal' },
  { fault: 'high-resistance', where: 'feed', on: 'ground', weight: 30, reason: 'a loose splice' },
  { fault: 'high-resistance', where: 'bond', weight: 70, reason: 'paint under the lug, a loose nut' },
  {
    fault: 'high-resistance',
    where: 'outlet',
    on: 'neutral',
    weight: 20,
    reason: 'a slot’s spring gone slack, a pigtail loose at its screw',
  },
  {
    fault: 'high-resistance',
    where: 'outlet',
    on: 'hot',
    weight: 16,
    reason: 'a slot’s spring gone slack, a pigtail loose at its screw',
  },
  {
    fault: 'high-resistance',
    where: 'outlet',
    on: 'ground',
    weight: 10,
    reason: 'a ground pigtail loose at its screw',
  },
  {
    fault: 'high-resistance',
    where: 'cord',
    on: 'neutral',
    weight: 14,
    reason: 'worn contacts, a brown blade',
  },
  { fault: 'high-resistance', where: 'cord', on: 'hot', weight: 14, reason: 'worn contacts, a brown blade' },
  { fault: 'high-resistance', where: 'cord', on: 'ground', weight: 12, reason: 'a worn ground pin' },
  {
    fault: 'line-load-reversed',
    where: 'outlet',
    weight: 65,
    reason: 'the two cables were not told apart before landing',
  },
  { fault: 'fed-from-line', where: 'outlet', weight: 25, reason: 'two wires under one LINE clamp' },
  { fault: 'bootleg-reversed', where: 'supply', weight: 4, reason: 'rare, and deadly' },
];

/** Weight of "nothing wrong": as many first tests find nothing as find something. */
export const soundWeight = 1000;
/** Two faults in one box are likelier than in two: same hands, same minute. */
export const samePlaceFactor = 3;
