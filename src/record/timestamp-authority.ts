import { Buffer } from 'node:buffer';
import { TimestampError } from './timestamp-token.js';

/** Sends a question to an authority and answers the bytes that came back. Throws TimestampError where none did. */
export interface TimestampAuthority {
  /** As people know it: the host of its address. */
  readonly host: string;
  ask(request: Uint8Array): Promise<Buffer>;
}

const waitMs = 10_000;
const mostBytes = 65_536;

/** An authority at an http or https address (RFC 3161 section 3.4), given up after 10 s or 64 KiB. */
export function timestampAuthority(address: string, patienceMs = waitMs): TimestampAuthority {
  const { host } = new URL(address);
  return {
    host,
    async ask(request) {
      try {
        const reply = await fetch(address, {
          method: 'POST',
          headers: { 'content-type': 'application/timestamp-query', accept: 'application/timestamp-reply' },
          body: new Uint8Array(request),
          redirect: 'error',
          signal: AbortSignal.timeout(patienceMs),
        });
        if (reply.status !== 200) {
          await reply.body?.cancel();
          throw new TimestampError(`answered with HTTP status ${reply.status}`);
        }
        return await bodyOf(reply);
      } catch (error) {
        throw told(error, patienceMs);
      }
    },
  };
}

async function bodyOf(reply: Response): Promise<Buffer> {
  const chunks: Uint8Array[] = [];
  let size = 0;
  for await (const chunk of reply.body ?? []) {
    size += chunk.length;
    if (size > mostBytes) throw new TimestampError('sent more than any answer takes');
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

function told(error: unknown, patienceMs: number): unknown {
  if (error instanceof TimestampError) return error;
  const slow = error instanceof Error && error.name === 'TimeoutError';
  return new TimestampError(
    slow ? `did not answer within ${patienceMs / 1000} seconds` : 'could not be reached',
    {
      cause: error,
    },
  );
}
