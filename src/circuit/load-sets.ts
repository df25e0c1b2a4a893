import { receptacleLoadAmps } from '../trade/receptacle-load.js';
import type { Circuit } from './circuit.js';
import { ampsAt, countedAmps, loadSum, mostFastenedAmps, type PlacedLoad, placedLoads } from './load-sum.js';
import { ampsText, listText } from './quantity-text.js';
import { withinMost } from './sheet-line.js';

/** Loads that are on at the same time. `over` says which ratings they overrun; empty where they stay within all. */
export interface LoadSet {
  readonly loads: readonly PlacedLoad[];
  readonly amps: number;
  readonly over: readonly string[];
}

interface LoadSets {
  /** Each stays within the ratings, and no load can be added to it; the fullest first. */
  readonly largest: readonly LoadSet[];
  /** Each overruns a rating, and does not without any one of its loads; the fewest loads first. */
  readonly tooMuch: readonly LoadSet[];
}

/** With more loads than this the smallest count as one: every set of eight is looked at. */
const most = 8;

/**
 * What the circuit carries of the loads named in it, whatever was planned: every largest set within the ratings and every smallest
 * beyond them. The ratings are those of the sheet: breaker, three hours and more, receptacle, fastened in place.
 */
export function loadSets(circuit: Circuit): LoadSets {
  const members = membersOf(circuit);
  const every = Array.from({ length: 2 ** members.length }, (_, bits) => bits).slice(1);
  const set = (bits: number) => loadSetOf(circuit, members.filter((_, k) => bits & (1 << k)).flat());
  const sets = every.map(set);
  const fits = (bits: number) => bits === 0 || sets[bits - 1]!.over.length === 0;
  const without = (bits: number) => members.map((_, k) => bits & ~(1 << k)).filter((b) => b !== bits);
  const withOneMore = (bits: number) => members.map((_, k) => bits | (1 << k)).filter((b) => b !== bits);
  const chosen = (wanted: (bits: number) => boolean) => every.filter(wanted).map((bits) => sets[bits - 1]!);
  return {
    largest: chosen((bits) => fits(bits) && !withOneMore(bits).some(fits)).sort((a, b) => b.amps - a.amps),
    tooMuch: chosen((bits) => !fits(bits) && without(bits).every(fits)).sort(
      (a, b) => a.loads.length - b.loads.length || b.amps - a.amps,
    ),
  };
}

/** For a person: "glue pot and press heater: 10 A of 15 A", and "heater and kettle: 22 A, more than the breaker's 15 A". */
export function loadSetText({ breaker }: Circuit, { loads, amps, over }: LoadSet): string {
  const names = listText(loads.map((p) => p.load.name));
  return over.length === 0
    ? `${names}: ${ampsText(amps)} of ${breaker.amps} A`
    : `${names}: ${listText([...over])}`;
}

function membersOf(circuit: Circuit): PlacedLoad[][] {
  const all = placedLoads(circuit);
  if (all.length <= most) return all.map((p) => [p]);
  const bySize = [...all].sort((a, b) => b.amps - a.amps);
  const single = bySize.slice(0, most - 1);
  return [...all.filter((p) => single.includes(p)).map((p) => [p]), bySize.slice(most - 1)];
}

/** These loads as a set, whatever was planned. */
export function loadSetOf(circuit: Circuit, loads: readonly PlacedLoad[]): LoadSet {
  return { loads, amps: loadSum(loads).amps, over: overrun(circuit, loads) };
}

function overrun(circuit: Circuit, loads: readonly PlacedLoad[]): string[] {
  const { breaker, run } = circuit;
  const total = loadSum(loads);
  if (!withinMost(total.amps, breaker.amps))
    return [`${ampsText(total.amps)}, more than the breaker’s ${breaker.amps} A`];
  const counted = countedAmps(total);
  return [
    ...(withinMost(counted, breaker.amps)
      ? []
      : [`for three hours and more they count as ${ampsText(counted)} of ${breaker.amps} A`]),
    ...(withinMost(total.fastenedAmps, mostFastenedAmps(circuit))
      ? []
      : [`fastened loads of ${ampsText(total.fastenedAmps)}, more than half of the breaker`]),
    ...run.flatMap((outlet) => {
      const here = ampsAt(loads, outlet.id);
      const cap = receptacleLoadAmps(outlet.amps);
      return cap === undefined || withinMost(here, cap)
        ? []
        : [`${ampsText(here)} on the receptacle at ${outlet.place}, made for ${cap} A`];
    }),
  ];
}
