import { type ElectricalCircuit, firstGroundFaultDevice } from '../meter/electrical-circuit.js';
import type { Reading } from '../meter/readings-file.js';
import { readingLimits } from '../trade/reading-limits.js';
import { between } from './taken.js';

/**
 * The electronics of a device lie between hot and neutral of its LINE: where one of the two is joined to ground they stand between
 * the other and ground too, and look like a second path: what to read or to mend first, in words. @source arithmetic; measured by ngspice (`tests/outside/against-ngspice-field`)
 */
export function throughElectronics(circuit: ElectricalCircuit, readings: readonly Reading[]): string[] {
  if (firstGroundFaultDevice(circuit) === 0) return [];
  const toGround = (pole: string) =>
    readings.flatMap((r) =>
      r.test === 'resistance' && between(r, `inlet.${pole}`, 'inlet.ground')
        ? [r.ohms ?? Number.POSITIVE_INFINITY]
        : [],
    )[0];
  const ways = [
    ['hot', 'neutral'],
    ['neutral', 'hot'],
  ] as const;
  return ways.flatMap(([pole, other]) => {
    const [own, beside] = [toGround(pole), toGround(other)];
    const { isolationWithElectronics: least, isolation } = readingLimits;
    if (own === undefined || own < least.value || own >= isolation.value) return [];
    const text =
      beside === undefined
        ? `Is it the ground-fault device’s own electronics? They lie between hot and neutral: where ${other} is joined to ground, ${pole} shows them to ground. Read the inlet’s ${other} pin to its ground pin before anything is looked for.`
        : `The inlet’s ${other} pin shows fewer ohms to ground: mend that join first, then read ${pole} to ground again. Through it the ground-fault device’s own electronics show there.`;
    return beside === undefined || beside < own ? [text] : [];
  });
}
