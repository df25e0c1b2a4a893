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
