import { Buffer } from 'node:buffer';
import { parentPort, workerData } from 'node:worker_threads';
import { AppError } from '../errors.js';
import { signerOf } from '../record/keys.js';
import { TimestampError } from '../record/timestamp-token.js';
import type { FromThread, ToThread } from './issue-apart.js';
import { issueJob, type JobIssue } from './issue-job.js';
import { openStore } from './open-store.js';

/** The thread of `makeIssuer`: reads the data folder for itself, and asks the other side for what takes the key or the network. */
const dir = workerData as string;
const port = parentPort as NonNullable<typeof parentPort>;
let answered: (said: ToThread) => void = () => undefined;

port.on('message', (said: ToThread) => {
  if ('wish' in said) void issued(said).then(told, refused);
  else answered(said);
});

async function issued({ wish, signer, authority: host }: Extract<ToThread, { wish: unknown }>) {
  const store = openStore({ dir, clock: () => new Date(wish.at), readOnly: true });
  try {
    const authority = host === undefined ? undefined : { host, ask: asker('timestamp') };
    return await issueJob(store, { signer: signerOf(signer, asker('signature')), authority }, wish);
  } finally {
    store.close();
  }
}

function told({ pdf, ...issued }: JobIssue): void {
  // Bytes that have their memory to themselves go over as they are; else a copy goes.
  const bytes = pdf.length === pdf.buffer.byteLength ? pdf : new Uint8Array(pdf);
  tell({ issued, pdf: bytes }, [bytes.buffer as ArrayBuffer]);
}

/** One question at a time. */
function asker(ask: 'signature' | 'timestamp'): (of: Uint8Array) => Promise<Buffer> {
  return async (of) => {
    const reply = new Promise<ToThread>((resolve) => {
      answered = resolve;
    });
    tell({ ask, of: new Uint8Array(of) });
    const said = await reply;
    if ('answer' in said) return Buffer.from(said.answer);
    throw new TimestampError('noAnswer' in said ? said.noAnswer : '');
  };
}

function refused(error: unknown): void {
  if (error instanceof AppError) {
    const { code, message, issues, facts } = error;
    tell({ refused: { code, message, issues, facts } });
  } else tell({ failed: error });
}

function tell(said: FromThread, transfer: ArrayBuffer[] = []): void {
  port.postMessage(said, transfer);
}
