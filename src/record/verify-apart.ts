import { inTurns, ownThread } from '../own-thread.js';
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
 * As `verifyPages`, in a thread of its own: whoever else asks something meanwhile is answered. A file that takes more time or memory than
 * allowed is ended there: then its pages were not compared or, where not even its signature was reached, the answer is `ended`. With
 * several files waiting already it is `busy`.
 */
export async function verifyApart(
  file: Uint8Array,
  expected: Expectation = {},
  limits = usual,
): Promise<Verification | 'ended' | 'busy'> {
  return inTurn(() => inThread(file, expected, limits)) ?? 'busy';
}

/** What the thread sends: the answer without the pages, and then the one with them. */
export interface Told {
  readonly seen: Verification;
  readonly whole: boolean;
}

function inThread(
  file: Uint8Array,
  expected: Expectation,
  { milliseconds, mebibytes }: Limits,
): Promise<Verification | 'ended'> {
  const worker = ownThread(import.meta.url, './verify-thread', {
    workerData: { file, expected },
    resourceLimits: { maxOldGenerationSizeMb: mebibytes },
  });
  return new Promise((resolve, reject) => {
    let told: Told | undefined;
    let why = 'that needs more memory than is given to it here';
    const clock = setTimeout(() => {
      why = 'that takes longer than is given to it here';
      void worker.terminate();
    }, milliseconds);
    worker.on('message', (said: Told) => {
      told = said;
    });
    worker.on('error', (error: Error & { code?: string }) => {
      // A thread that runs out of memory exits as any other, and what it told by then stands.
      if (error.code !== 'ERR_WORKER_OUT_OF_MEMORY') reject(error);
    });
    worker.on('exit', () => {
      clearTimeout(clock);
      if (told === undefined) resolve('ended');
      else resolve(told.whole ? told.seen : withPages(told.seen, { read: 'not-compared', why }));
    });
  });
}
