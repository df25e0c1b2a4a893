import { Agent, type IncomingHttpHeaders, request } from 'node:http';

export interface Answer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
  readonly ms: number;
}

/** A phone at an address of its own on the loopback, with its cookies and one connection that is kept. */
export class Phone {
  private readonly cookies = new Map<string, string>();
  private readonly agent: Agent;

  /** The k-th phone, from 0 to 254. */
  constructor(
    private readonly server: string,
    k: number,
  ) {
    this.agent = new Agent({ keepAlive: true, maxSockets: 1, localAddress: `127.0.1.${k + 1}` } as object);
  }

  set cookie(header: string) {
    for (const one of header.split('; ')) this.keep(one);
  }

  get(path: string): Promise<Answer> {
    return this.send('GET', path);
  }

  /** Sends a form; with `lost` its answer never comes: the connection breaks once the form is out. */
  post(path: string, form: FormData | URLSearchParams): Promise<Answer>;
  post(path: string, form: FormData | URLSearchParams, how: { lost: boolean }): Promise<Answer | undefined>;
  async post(
    path: string,
    form: FormData | URLSearchParams,
    how = { lost: false },
  ): Promise<Answer | undefined> {
    const told = new Response(form);
    const payload = Buffer.from(await told.arrayBuffer());
    const type = told.headers.get('content-type') ?? '';
    return how.lost ? this.lose(path, payload, type) : this.send('POST', path, payload, type);
  }

  close(): void {
    this.agent.destroy();
  }

  private send(method: string, path: string, payload?: Buffer, type?: string): Promise<Answer> {
    const from = performance.now();
    return new Promise((resolve, reject) => {
      const sent = this.open(method, path, payload, type);
      sent.on('error', reject);
      sent.on('response', (response) => {
        const pieces: Buffer[] = [];
        response.on('data', (piece: Buffer) => pieces.push(piece));
        response.on('error', reject);
        response.on('end', () => {
          for (const set of response.headers['set-cookie'] ?? []) this.keep(set);
          const { statusCode: status = 0, headers } = response;
          resolve({
            status,
            headers,
            body: Buffer.concat(pieces).toString('utf8'),
            ms: performance.now() - from,
          });
        });
      });
      sent.end(payload);
    });
  }

  private lose(path: string, payload: Buffer, type: string): Promise<undefined> {
    return new Promise((resolve) => {
      const sent = this.open('POST', path, payload, type);
      // Both are what was wanted: the form is out, and nothing is heard of it.
      sent.on('error', () => resolve(undefined));
      sent.on('response', () => sent.destroy());
      sent.on('close', () => resolve(undefined));
      sent.on('finish', () => sent.destroy());
      sent.end(payload);
    });
  }

  private open(method: string, path: string, payload?: Buffer, type?: string) {
    const cookie = [...this.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
    return request(`${this.server}${path}`, {
      method,
      agent: this.agent,
      headers: {
        cookie,
        'user-agent': 'a phone',
        ...(payload === undefined ? {} : { 'content-type': type, 'content-length': payload.length }),
      },
    });
  }

  private keep(set: string): void {
    const [, name, value] = /^([^=]+)=([^;]*)/.exec(set) ?? [];
    if (name === undefined || value === undefined) return;
    if (value === '') this.cookies.delete(name);
    else this.cookies.set(name, value);
  }
}
