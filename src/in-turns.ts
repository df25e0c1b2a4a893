/** Begins each piece of work when the one before it has ended, well or not, so that many who ask hold no more memory than one. */
export function oneAtATime(): <T>(work: () => Promise<T>) => Promise<T> {
  let last: Promise<unknown> = Promise.resolve();
  return (work) => {
    const mine = last.then(work);
    last = mine.catch(() => undefined);
    return mine;
  };
}

/** The same; with `most` under way and waiting already, another is sent away with undefined. */
export function inTurns(most: number): <T>(work: () => Promise<T>) => Promise<T> | undefined {
  const inTurn = oneAtATime();
  let asked = 0;
  return (work) => {
    if (asked >= most) return undefined;
    asked += 1;
    return inTurn(work).finally(() => {
      asked -= 1;
    });
  };
}
