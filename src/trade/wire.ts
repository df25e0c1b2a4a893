/** The sizes that a small 120 V branch and its cord are made of. */
export const wireSizes = [18, 16, 14, 12, 10, 8, 6] as const;
export type Awg = (typeof wireSizes)[number];

/** Resistivity of annealed copper at 20 °C, Ω·mm²/m: 1/58 (IEC 60028). */
const copperOhmMm2PerM = 1 / 58;
/** Temperature coefficient of copper at constant mass, 1/K, referred to 20 °C (IEC 60028). */
const copperPerKelvin = 0.00393;

/** Diameter of a solid conductor in mm, from its AWG number. @source ASTM B258 */
export function awgDiameterMm(awg: number): number {
  return 0.127 * 92 ** ((36 - awg) / 39);
}

/** Cross-section of a conductor in mm², from its AWG number. @source ASTM B258 */
export function awgAreaMm2(awg: number): number {
  return (Math.PI / 4) * awgDiameterMm(awg) ** 2;
}

/**
 * Direct-current resistance of a solid copper conductor of 100 % IACS, in Ω per metre, at a temperature in °C
 * (range of the linear law: −50…150 °C). @source ASTM B258, IEC 60028
 */
export function copperOhmPerM(awg: number, temperatureC = 20): number {
  return (copperOhmMm2PerM / awgAreaMm2(awg)) * (1 + copperPerKelvin * (temperatureC - 20));
}
