import { Buffer } from 'node:buffer';
import type { Worker } from 'node:worker_threads';
import { AppError, type ErrorCode, type Issue } from '../errors.js';
import { inTurns } from '../in-turns.js';
import { ownThread } from '../own-thread.js';
import type { Signer } from '../record/keys.js';
import type { TimestampAuthority } from '../record/timestamp-authority.js';
import { TimestampError } from '../record/timestamp-token.js';
import type { IssueWish, JobIssue } from './issue-job.js';

/** How long a record may take with its waiting, ms; how much memory its thread may hold, MiB. */
export interface IssueLimits {
  readonly milliseconds: number;
  readonly mebibytes: number;
}
const usual: IssueLimits = { milliseconds: 90_000, mebibytes: 256 };
const mostWaiting = 4;

/** What the thread is told: to issue, or the answer to its question. */
export type ToThread =
  | { readonly wish: IssueWish; readonly signer: Certificates; readonly authority: string | undefined }
  | { readonly answer: Uint8Array }
  | { readonly noAnswer: string };
/** What the thread says: a question for the one with the key, or how the issue ended. */
export type FromThread =
  | { readonly ask: 'signature' | 'timestamp'; readonly of: Uint8Array }
  | { readonly issued: Omit<JobIssue, 'pdf'>; readonly pdf: Uint8Array }
  | { readonly refused: { code: ErrorCode; message: string; issues: readonly Issue[]; facts: object } }
  | { readonly failed: unknown };
type Certificates = Pick<Signer, 'certificate' | 'root'>;

/** Draws and signs records one after the other, each in a thread of its own. */
export interface Issuer {
  /**
   * As `issueJob`, and whoever else asks something meanwhile is answered. Throws besides AppError `record-unfinished` where it takes more
   * time or memory than it is given, and `too-many` where several wait already.
   */
  issue(wish: IssueWish): Promise<JobIssue>;
  stop(): Promise<void>;
}

export interface IssuerParts {
  /** The data folder, of which the thread reads the logbook and the photos by itself. */
  readonly dir: string;
  /** Opens the key that signs: it stays on this side, and the thread gets signatures alone. */
  readonly signer: () => Signer;
  readonly authority?: TimestampAuthority | undefined;
}

export function makeIssuer(parts: IssuerParts, limits = usual): Issuer {
  const inTurn = inTurns(mostWaiting);
  let thread: Worker | undefined;

  const end = async () => {
    const ending = thread;
    thread = undefined;
    await ending?.terminate();
  };

  const issueBy = async (wish: IssueWish, until: number): Promise<JobIssue> => {
    const signer = parts.signer();
    const made = ownThread(import.meta.url, './issue-thread', {
      workerData: parts.dir,
      // A small young generation: drawing keeps little of what it makes, and what it makes need not lie about for long.
      resourceLimits: { maxOldGenerationSizeMb: limits.mebibytes, maxYoungGenerationSizeMb: 16 },
    });
    // Whatever comes of it once it is given up interests nobody.
    made.on('error', () => undefined);
    thread = made;
    try {
      return await inThread(made, { wish, until, signer, authority: parts.authority });
    } finally {
      // Gone with its record: it holds some 60 MB that the next passphrase is derived beside.
      await end();
    }
  };

  return {
    async issue(wish) {
      const until = performance.now() + limits.milliseconds;
      const issue = inTurn(() => issueBy(wish, until));
      if (issue === undefined)
        throw new AppError(
          'too-many',
          'Several records are being issued already: send it again in a minute. Nothing was issued.',
        );
      return issue;
    },
    stop: end,
  };
}

interface OneIssue {
  readonly wish: IssueWish;
  /** By `performance.now()`. */
  readonly until: number;
  readonly signer: Signer;
  readonly authority: TimestampAuthority | undefined;
}

function inThread(thread: Worker, { wish, until, signer, authority }: OneIssue): Promise<JobIssue> {
  const say = (said: ToThread) => thread.postMessage(said);
  return new Promise<JobIssue>((resolve, reject) => {
    const unfinished = (why: string, cause?: unknown) =>
      settle(() =>
        reject(new AppError('record-unfinished', `${why} Nothing was issued: send it again.`, { cause })),
      );
    const clock = setTimeout(
      () => unfinished('The record takes longer to draw than it is given here.'),
      Math.max(0, until - performance.now()),
    );
    const settle = (how: () => void) => {
      clearTimeout(clock);
      thread.off('message', heard).off('error', died).off('exit', left);
      how();
    };
    const answers = {
      signature: (of: Uint8Array) => signer.signAttributes(of),
      timestamp: (of: Uint8Array) => (authority as TimestampAuthority).ask(of),
    };
    const heard = (said: FromThread) => {
      if ('ask' in said)
        answers[said.ask](said.of).then(
          (answer) => say({ answer }),
          // A timestamp may stay out, a signature may not.
          (error: unknown) =>
            error instanceof TimestampError
              ? say({ noAnswer: error.message })
              : settle(() => reject(error as Error)),
        );
      else if ('issued' in said) settle(() => resolve({ ...said.issued, pdf: Buffer.from(said.pdf.buffer) }));
      else if ('refused' in said) {
        const { code, message, issues, facts } = said.refused;
        settle(() => reject(new AppError(code, message, { issues, facts: { ...facts } })));
      } else settle(() => reject(said.failed as Error));
    };
    const died = (error: Error & { code?: string }) =>
      error.code === 'ERR_WORKER_OUT_OF_MEMORY'
        ? unfinished('The record takes more memory to draw than it is given here.', error)
        : settle(() => reject(error));
    const left = () => unfinished('What draws the record ended ahead of its time.');
    thread.on('message', heard).on('error', died).on('exit', left);
    const { certificate, root } = signer;
    say({ wish, signer: { certificate, root }, authority: authority?.host });
  });
}
