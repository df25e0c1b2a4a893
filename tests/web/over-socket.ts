import { once } from 'node:events';
import { type IncomingMessage, request } from 'node:http';

export interface Reply {
  readonly status: number | undefined;
  readonly headers: IncomingMessage['headers'];
  readonly body: string;
}

/** One request over a connection of its own, from an address of this machine. */
export async function askOverSocket(
  port: number,
  { from = '127.0.0.1', method = 'GET', path = '/', headers = {}, body = '' } = {} as {
    from?: string;
    method?: string;
    path?: string;
    headers?: Record<string, string>;
    body?: string;
  },
): Promise<Reply> {
  const asked = request({ host: '127.0.0.1', port, localAddress: from, agent: false, method, path, headers });
  asked.end(body);
  const [reply] = (await once(asked, 'response')) as [IncomingMessage];
  const bytes = Buffer.concat(await reply.toArray());
  return { status: reply.statusCode, headers: reply.headers, body: bytes.toString('utf8') };
}
