/** Round steps for a linear axis from `low` to `high` with about `count` intervals: 1, 2 or 5 times a power of ten. */
export function linearTicks(low: number, high: number, count: number): number[] {
  const rough = (high - low) / Math.max(1, count);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough * 0.999) ?? 10 * power;
  const ticks: number[] = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + step * 1e-9; k += 1)
    ticks.push(Number((k * step).toPrecision(12)));
  return ticks;
}

/** Where a value stands between two ends, as a share from 0 to 1, not beyond them. */
export function shareOf(value: number, low: number, high: number): number {
  return Math.min(1, Math.max(0, (value - low) / (high - low)));
}

/** Ohms with a unit that reads best: "0.3 Ω", "47 kΩ", "1 MΩ". */
export function ohmsWords(ohms: number): string {
  if (ohms >= 1e6) return `${Number((ohms / 1e6).toPrecision(3))} MΩ`;
  if (ohms >= 1e3) return `${Number((ohms / 1e3).toPrecision(3))} kΩ`;
  return `${Number(ohms.toPrecision(ohms < 1 ? 2 : 3))} Ω`;
}
