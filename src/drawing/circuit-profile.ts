import { designAmps } from '../circuit/allowed-set.js';
import type { Circuit } from '../circuit/circuit.js';
import { inHottestPlace, loopOhm, loopShare } from '../circuit/loop-share.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { Scene } from './scene.js';
import { voltageProfile } from './voltage-profile.js';

/** Volts from the supply to each outlet with the largest allowed set drawn at the last one, as the sheet computes the drop. */
export function circuitProfile(
  circuit: Circuit,
  { layout, lengthUnit }: { readonly layout: 'wide' | 'narrow'; readonly lengthUnit: 'm' | 'ft' },
): Scene {
  const amps = designAmps(circuit);
  const at = inHottestPlace(circuit);
  const { volts } = circuit.supply;
  const first = loopShare(circuit, 0, at);
  const share = readingLimits.drop.value / 100;
  return voltageProfile({
    layout,
    points: [
      { label: 'Supply', distanceM: 0, volts: volts - amps * first.supplyOhm },
      {
        label: 'Inlet',
        distanceM: circuit.cord.lengthM,
        volts: volts - amps * (first.supplyOhm + first.cordOhm),
      },
      ...circuit.run.map((_, k) => ({
        label: `Outlet ${k + 1}`,
        short: String(k + 1),
        distanceM: circuit.run
          .slice(0, k + 1)
          .reduce((sum, o) => sum + o.feed.lengthM, circuit.cord.lengthM + (circuit.inletWire?.lengthM ?? 0)),
        volts: volts - amps * loopOhm(loopShare(circuit, k, at)),
      })),
    ],
    limits: [{ label: `${Math.round(share * 100)} % under ${volts} V`, volts: volts * (1 - share) }],
    load: `${Number(amps.toFixed(1))} A at the last outlet`,
    lengthUnit,
  });
}
