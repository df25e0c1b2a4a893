/** One line of the table: what was measured beside what, and whether it reached its mark. */
export interface Row {
  readonly what: string;
  readonly beside: string;
  /** Both figures with their units, as a person reads them. */
  readonly figures: string;
  readonly ratio: number;
  /** What the ratio has to reach. */
  readonly mark: { readonly atLeast: number } | { readonly atMost: number };
}

export type Measure = () => Promise<readonly Row[]>;

/** Whether a row reached its mark; a ratio that is no number never did. */
export function reached({ ratio, mark }: Row): boolean {
  return 'atLeast' in mark ? ratio >= mark.atLeast : ratio <= mark.atMost;
}

/** The middle one of several figures. */
export function median(figures: readonly number[]): number {
  const sorted = figures.toSorted((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

/** The middle time of each of several works, ms. They take turns, so that what else the machine does falls on all alike. */
export async function timedInTurns(
  works: readonly (() => unknown)[],
  { runs = 15, warm = 4 } = {},
): Promise<readonly number[]> {
  const times = works.map(() => [] as number[]);
  for (let run = -warm; run < runs; run += 1)
    for (const [k, work] of works.entries()) {
      const from = performance.now();
      await work();
      if (run >= 0) times[k]?.push(performance.now() - from);
    }
  return times.map(median);
}

/** The middle time of `runs` calls, in milliseconds, after `warm` that do not count. */
export async function timed(work: () => unknown, { runs = 9, warm = 2 } = {}): Promise<number> {
  const times: number[] = [];
  for (let k = -warm; k < runs; k += 1) {
    const from = performance.now();
    await work();
    if (k >= 0) times.push(performance.now() - from);
  }
  return median(times);
}
