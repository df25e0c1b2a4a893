/** Two entries, one behind the other, between which the server's clock went back. */
interface ClockStep {
  readonly before: number;
  readonly after: number;
  readonly backMs: number;
}

/** A clock that is set right by the network moves by less than this; that is no step, ms. */
const least = 1000;

/**
 * Where the clock went back between two entries. Their order is that of their numbers and never that of their times, so that no rule
 * breaks; but whoever reads the times must know.
 */
export function clockSteps(entries: readonly { readonly seq: number; readonly at: string }[]): ClockStep[] {
  return entries.flatMap((entry, k) => {
    const before = entries[k - 1];
    const backMs = before === undefined ? 0 : Date.parse(before.at) - Date.parse(entry.at);
    return before === undefined || !(backMs >= least)
      ? []
      : [{ before: before.seq, after: entry.seq, backMs }];
  });
}

/** "The clock went back 1 h between entries 41 and 42." */
export function clockStepText({ before, after, backMs }: ClockStep): string {
  return `The clock went back ${spanText(backMs)} between entries ${before} and ${after}.`;
}

/** A span of time in its two largest units: "2 days 3 h", "1 h", "40 s". */
function spanText(ms: number): string {
  const units: readonly (readonly [number, (n: number) => string])[] = [
    [86_400, (n) => (n === 1 ? '1 day' : `${n} days`)],
    [3600, (n) => `${n} h`],
    [60, (n) => `${n} min`],
    [1, (n) => `${n} s`],
  ];
  let left = Math.round(ms / 1000);
  const parts: string[] = [];
  for (const [seconds, said] of units) {
    const n = Math.floor(left / seconds);
    left -= n * seconds;
    if (n > 0) parts.push(said(n));
  }
  return parts.slice(0, 2).join(' ');
}
