import { inTurns } from '../in-turns.js';
import { ownProcess } from '../own-process.js';
import type { Expectation, Verification } from './verify-pdf.js';
import { withPages } from './with-pages.js';

/** How long a file may take, ms, and how much memory its reading may hold, MiB. */
export interface Limits {
  readonly milliseconds: number;
  readonly mebibytes: number;
}
const usual: Limits = { milliseconds: 45_000, mebibytes: 512 };
/** Many strangers take no more memory than one. */
const inTurn = inTurns(4);

/**
 * As `verifyPages`, in a process of its own: whoever else asks something meanwhile is answered, and nothing that a stranger sends ends
 * this one. A file that takes more time or memory than allowed is ended there: then its pages were not compared or, where not even its
 * signature was reached, the answer is `ended`. With several files waiting already it is `busy`.
 */
export async function verifyApart(
  file: Uint8Array,
  expected: Expectation = {},
  limits = usual,
): Promise<Verification | 'ended' | 'busy'> {
  return inTurn(() => inProcess(file, expected, limits)) ?? 'busy';
}

/** What the process is sent. */
export interface ToVerify {
  readonly file: Uint8Array;
  readonly expected: Expectation;
}

/** What it sends: the answer without the pages, and then the one with them. */
export interface Told {
  readonly seen: Verification;
  readonly whole: boolean;
}

function inProcess(
  file: Uint8Array,
  expected: Expectation,
  { milliseconds, mebibytes }: Limits,
): Promise<Verification | 'ended'> {
  const child = ownProcess(import.meta.url, './verify-process', mebibytes);
  let why = 'that needs more memory than is given to it here';
  const clock = setTimeout(() => {
    why = 'that takes longer than is given to it here';
    child.kill('SIGKILL');
  }, milliseconds);
  return new Promise<Verification | 'ended'>((resolve, reject) => {
    let told: Told | undefined;
    child.on('error', reject);
    child.on('message', (said: Told) => {
      told = said;
      if (said.whole) resolve(said.seen);
    });
    // All that it said is heard by then. One that runs out of memory ends as any other, and what it told by then stands.
    child.on('disconnect', () =>
      resolve(told === undefined ? 'ended' : withPages(told.seen, { read: 'not-compared', why })),
    );
    // Where it ends before it has heard all, that is told by its end.
    child.send({ file, expected } satisfies ToVerify, () => undefined);
  }).finally(() => {
    clearTimeout(clock);
    child.kill('SIGKILL');
  });
}
