import { createHash } from 'node:crypto';
import { Agent, type IncomingHttpHeaders, request } from 'node:http';
import { passphrase, tokensOf } from '../../web/shop-under-test.js';
import { written } from './real-server.js';

export interface Reply {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

/** The connection broke before there was an answer. */
export class NoAnswer extends Error {}

/** A form as it leaves a phone; the same key goes with it however often it is sent. */
export interface Form {
  readonly url: string;
  readonly key: string;
  readonly fields: Readonly<Record<string, string>>;
  readonly files?: readonly { readonly field: string; readonly name: string; readonly bytes: Buffer }[];
}

/** One phone with a session: a real HTTP client over connections of its own. */
export class Phone {
  cookie = '';
  csrf = '';
  readonly #agent = new Agent({ keepAlive: true });

  /** `from` is the address that the server sees, one of 127.0.0.0/8. */
  constructor(
    public address: URL,
    readonly from = '127.0.0.1',
  ) {}

  async signIn(signIn = 'ines'): Promise<this> {
    this.csrf = tokensOf((await this.get('/sign-in')).body)._csrf;
    const reply = await this.send({ url: '/sign-in', key: '', fields: { signIn, passphrase } });
    if (reply.status !== 303) throw new Error(`sign-in: ${reply.status}`);
    this.csrf = tokensOf((await this.get('/account')).body)._csrf;
    return this;
  }

  get(url: string): Promise<Reply> {
    return this.#ask('GET', url);
  }

  send({ url, key, fields, files = [] }: Form): Promise<Reply> {
    const all = { _csrf: this.csrf, ...(key === '' ? {} : { _key: key }), ...fields };
    if (files.length === 0)
      return this.#ask('POST', url, {
        type: 'application/x-www-form-urlencoded',
        bytes: Buffer.from(new URLSearchParams(all).toString()),
      });
    return this.sendRaw(url, `multipart/form-data; boundary=${boundary}`, multipart(all, files));
  }

  sendRaw(url: string, type: string, bytes: Buffer): Promise<Reply> {
    return this.#ask('POST', url, { type, bytes });
  }

  leave(): void {
    this.#agent.destroy();
  }

  #ask(method: string, url: string, body?: { type: string; bytes: Buffer }): Promise<Reply> {
    return new Promise((resolve, reject) => {
      const broken = (cause: Error) => reject(new NoAnswer(`${method} ${url}: ${cause.message}`, { cause }));
      const asked = request(
        new URL(url, this.address),
        {
          method,
          agent: this.#agent,
          localAddress: this.from,
          headers: {
            ...(this.cookie === '' ? {} : { cookie: this.cookie }),
            ...(body === undefined
              ? {}
              : { 'content-type': body.type, 'content-length': String(body.bytes.length) }),
          },
        },
        (answer) => {
          const parts: Buffer[] = [];
          answer.on('data', (part: Buffer) => parts.push(part));
          answer.on('error', broken);
          answer.on('end', () => {
            // The session's cookie; the mark of the device comes in another.
            const set = answer.headers['set-cookie']?.find((line) => line.startsWith('inlet='));
            if (set !== undefined) this.cookie = set.split(';')[0] as string;
            resolve({
              status: answer.statusCode as number,
              headers: answer.headers,
              body: Buffer.concat(parts).toString('utf8'),
            });
          });
        },
      );
      asked.on('error', broken);
      asked.end(body?.bytes);
    });
  }
}

/** One more reading of the ground path, under a key of its own; its note is told by the key. */
export const readingForm = (key: string): Form => ({
  url: `/jobs/${written.job}/readings/${written.reading}`,
  key,
  fields: { ohms: written.ohms, 'ohms.unit': 'Ω', instrument: written.instrument, note: `note ${key}` },
});

/** One more photo of a step that asks for one. */
export const photoForm = (key: string, ...pictures: readonly Buffer[]): Form => ({
  url: `/jobs/${written.job}/steps/${written.photoStep}/photos`,
  key,
  fields: { ask: written.photoAsk, caption: '' },
  files: pictures.map((bytes) => ({ field: `photo.${written.photoAsk}`, name: 'IMG_1.jpg', bytes })),
});

/** What a form is told by in the logbook: its key, or the digest of the photo that it carried. */
export const nameOf = ({ key, files = [] }: Form): string =>
  files[0] === undefined ? key : createHash('sha256').update(files[0].bytes).digest('hex');

const boundary = '----inlet-phone';

function multipart(fields: Readonly<Record<string, string>>, files: NonNullable<Form['files']>): Buffer {
  const parts: Buffer[] = Object.entries(fields).map(([name, value]) =>
    Buffer.from(`--${boundary}\r\nContent-Disposition: form-data; name="${name}"\r\n\r\n${value}\r\n`),
  );
  for (const { field, name, bytes } of files) {
    const head = `Content-Disposition: form-data; name="${field}"; filename="${name}"\r\nContent-Type: image/jpeg`;
    parts.push(Buffer.from(`--${boundary}\r\n${head}\r\n\r\n`), bytes, Buffer.from('\r\n'));
  }
  return Buffer.concat([...parts, Buffer.from(`--${boundary}--\r\n`)]);
}
