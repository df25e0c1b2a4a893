import type { Source } from '../trade/source.js';
import { copperOhmPerM } from '../trade/wire.js';

/** A length of one conductor: size in AWG, length in m, temperature of the copper in °C (20 when absent). */
interface ConductorLength {
  readonly awg: number;
  readonly lengthM: number;
  readonly temperatureC?: number | undefined;
}

/** How much longer a strand is than the conductor it lies in; taken for every conductor, on the careful side. */
const strandLay = 1.02;
/** The two terminations of a conductor together, Ω. */
export const terminationsOhm = 0.004;
/** The two joints of the bond together, Ω. */
const bondJointsOhm = 0.005;
/** A closed contact, a splice or a bridged pair of screws, Ω. */
export const contactOhm = 0.001;

export const conductorSource: Source = {
  publication: 'ASTM B258 and IEC 60028',
  clause: 'copper at 100 % IACS, 2 % for the lay of the strands, 4 mΩ for two terminations',
  sure: 'A',
  note: 'lay and terminations are a judgement of this project',
};

/** Resistance of one conductor with its two terminations, in Ω. */
export function conductorOhm(conductor: ConductorLength): number {
  return copperOhm(conductor) + terminationsOhm;
}

/** Resistance of the bonding conductor with its two joints, in Ω. */
export function bondOhm(conductor: ConductorLength): number {
  return copperOhm(conductor) + bondJointsOhm;
}

function copperOhm({ awg, lengthM, temperatureC = 20 }: ConductorLength): number {
  return copperOhmPerM(awg, temperatureC) * strandLay * lengthM;
}
