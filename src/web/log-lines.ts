import { type FastifyReply, type FastifyRequest, LogController } from 'fastify';
import { pathOf } from './page/own-path.js';

interface Asked {
  readonly method?: string;
  readonly url?: string;
  readonly ip?: string;
}

/** What of a request a log keeps: no words of a query, and of an owner's link, wherever it stands, not its secret. */
export function requestLine({ method, url = '', ip }: Asked) {
  const path = pathOf(url)
    .slice(0, 300)
    .replace(/^\/o\/.*/, '/o/…')
    .replace(/(?<![\w-])[\w-]{32}(?![\w-])/g, '…');
  return { method, path, ip };
}

/**
 * A line as a terminal may show it: JSON escapes what is below a space, and this what else steers a terminal or turns the order of
 * its letters. They stand inside strings alone, so that the line reads the same to a program.
 */
export function plainLogLine(line: string): string {
  return line.replace(
    /[\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/g,
    (letter) => `\\u${letter.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

/** One line a request, once it is answered: who asked what, with what status, and how long it took. */
export class OneLineARequest extends LogController {
  override incomingRequest(): void {}

  override requestCompleted(
    err: Error | null | undefined,
    request: FastifyRequest,
    reply: FastifyReply,
  ): void {
    const said = { req: request, res: reply, responseTime: reply.elapsedTime };
    if (err) reply.log.error({ ...said, err }, 'request errored');
    else reply.log.info(said, 'request completed');
  }
}
