import type { Circuit } from './circuit.js';
import { conductorOhm } from './conductor.js';

/** Hot plus neutral on the way to one outlet, Ω, by whose it is. */
export interface LoopShare {
  readonly supplyOhm: number;
  readonly cordOhm: number;
  readonly vanOhm: number;
}

/** Temperatures of the copper in °C. */
interface CopperTemperature {
  readonly cordC: number;
  readonly cableC: number;
}

/** As on the day of the test. */
export const testDay: CopperTemperature = { cordC: 20, cableC: 20 };
/** As in a hot summer under load: the temperature that the resistance tables are printed for. */
export const heavilyLoaded: CopperTemperature = { cordC: 75, cableC: 75 };

/** Where the cable lies in its hottest place and the cord in summer air; never under the day of the test. */
export function inHottestPlace(circuit: Circuit): CopperTemperature {
  return { cordC: 30, cableC: Math.max(20, circuit.cable.hottestPlaceC) };
}

/** The three shares of the loop to outlet `k` (from 0), with terminations and without contacts. */
export function loopShare(circuit: Circuit, k: number, at: CopperTemperature): LoopShare {
  const own = circuit.inletWire === undefined ? [] : [circuit.inletWire];
  const feeds = [...own, ...circuit.run.slice(0, k + 1).map((o) => o.feed)];
  return {
    supplyOhm: circuit.supply.loopOhms,
    cordOhm: 2 * conductorOhm({ ...circuit.cord, temperatureC: at.cordC }),
    vanOhm: 2 * feeds.reduce((sum, feed) => sum + conductorOhm({ ...feed, temperatureC: at.cableC }), 0),
  };
}

/** The whole loop, Ω. */
export function loopOhm(share: LoopShare): number {
  return share.supplyOhm + share.cordOhm + share.vanOhm;
}
