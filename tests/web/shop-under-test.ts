import { randomBytes } from 'node:crypto';
import { Signer } from '@fastify/cookie';
import type { FastifyInstance, InjectOptions, LightMyRequestResponse } from 'fastify';
import { onTestFinished } from 'vitest';
import { buildApp } from '../../src/app.js';
import type { Role } from '../../src/logbook/shop-entry.js';
import * as rules from '../../src/logbook/shop-rules.js';
import type { Store } from '../../src/store/open-store.js';
import { makeSetUpToken, type SetUpToken } from '../../src/web/session/set-up-token.js';
import { ines, standingClock, tempFolder, tempStore } from '../store/temp-store.js';

export const passphrase = 'spindle-lantern-otter-quarry';
/** The passphrase as the shop keeps it, made beforehand: half a second of work that every test file would do once more. */
const hash = 'scrypt$131072$8$1$AwMDAwMDAwMDAwMDAwMDAw$BwOqMptg8jKheDpRCB754ws9exiCSF8DZ7u1yf40dR8';

export interface ShopUnderTest {
  readonly app: FastifyInstance;
  readonly store: Store;
  readonly clock: ReturnType<typeof standingClock>;
  readonly setUp: SetUpToken;
}

/** An app over an empty store; with `named`, the shop is set up with Ines as its keeper. */
export async function shopUnderTest({ named = true, dir = tempFolder() } = {}): Promise<ShopUnderTest> {
  const clock = standingClock();
  const store = tempStore(dir, clock);
  const setUp = makeSetUpToken(clock());
  const app = await buildApp({ config: { logLevel: 'silent' }, store, clock, setUp });
  onTestFinished(() => app.close());
  const shop = { app, store, clock, setUp };
  if (named) nameShop(shop);
  return shop;
}

/** The shop with its first person, who holds every role, without the pages. */
export function nameShop({ store }: Pick<ShopUnderTest, 'store'>): void {
  addPerson({ store }, 'ines', 'Ines Okafor', ['fitter', 'checker', 'keeper']);
  const body = { name: 'Thimble Lane Vanworks', place: '', reach: '', units: 'imperial' } as const;
  store.shop.append({
    by: ines,
    decide: () => ({ ok: true, value: [{ kind: 'shop named', subject: '', body }] }),
  });
}

/** A person whose passphrase is the one above. */
export function addPerson(
  { store }: Pick<ShopUnderTest, 'store'>,
  signIn: string,
  name: string,
  roles: readonly Role[],
): void {
  const added = store.shop.append({
    by: ines,
    decide: (shop) => rules.addPerson(shop, signIn, { name, signIn, roles }),
    also: () => store.secrets.put(`passphrase:${signIn}`, hash),
  });
  if (!added.ok) throw new Error(`${signIn} cannot be added`);
}

/** As a browser says that a form comes from a page of this site. */
export const here = { origin: 'http://127.0.0.1:8080' };

type Fields = Readonly<Record<string, string | readonly string[]>>;

/** A browser without scripts: keeps its cookies, reads the token from the page a form stands on. */
export class Browser {
  /** The session's; the mark of the device is kept apart. */
  cookie = '';
  device = '';
  last: LightMyRequestResponse | undefined;

  constructor(
    readonly app: FastifyInstance,
    readonly address = '127.0.0.1',
  ) {}

  async get(url: string, headers: Record<string, string> = {}): Promise<LightMyRequestResponse> {
    return this.send({ method: 'GET', url, headers });
  }

  /** Opens `page`, then posts the form with its tokens, like a person would. */
  async post(
    url: string,
    fields: Fields,
    { page = url, headers = {} } = {},
  ): Promise<LightMyRequestResponse> {
    return this.postRaw(url, { ...(await this.tokensOn(page)), ...fields }, headers);
  }

  /** The tokens of a page; of one that nothing is sent from, the token of the person's own page. */
  private async tokensOn(page: string) {
    const tokens = tokensOf((await this.get(page)).body);
    if (tokens._csrf !== '') return tokens;
    return { ...tokens, _csrf: tokensOf((await this.get('/account')).body)._csrf };
  }

  async postRaw(url: string, fields: Fields, headers: Record<string, string> = {}) {
    const body = new URLSearchParams();
    for (const [name, values] of Object.entries(fields))
      for (const v of [values].flat()) body.append(name, v as string);
    return this.send({
      method: 'POST',
      url,
      headers: { 'content-type': 'application/x-www-form-urlencoded', ...headers },
      payload: body.toString(),
    });
  }

  async postFiles(
    url: string,
    fields: Record<string, string>,
    files: readonly { field: string; name: string; bytes: Buffer }[],
    page = url,
  ) {
    const parts = new FormData();
    const all = { ...(await this.tokensOn(page)), ...fields };
    for (const [name, value] of Object.entries(all)) parts.append(name, value);
    for (const { field, name, bytes } of files)
      parts.append(field, new Blob([new Uint8Array(bytes)], { type: 'image/jpeg' }), name);
    return this.postParts(url, parts);
  }

  /** A form with files as it stands, in its own order. */
  async postParts(url: string, parts: FormData, headers: Record<string, string> = {}) {
    const sent = new Request('http://127.0.0.1', { method: 'POST', body: parts });
    return this.send({
      method: 'POST',
      url,
      headers: { 'content-type': sent.headers.get('content-type') ?? '', ...headers },
      payload: Buffer.from(await sent.arrayBuffer()),
    });
  }

  async signIn(signIn: string, word = passphrase) {
    return this.post('/sign-in', { signIn, passphrase: word });
  }

  private async send(options: InjectOptions): Promise<LightMyRequestResponse> {
    const kept = [this.cookie, this.device].filter((c) => c !== '').join('; ');
    const cookie = kept === '' ? {} : { cookie: kept };
    const reply = await this.app.inject({
      remoteAddress: this.address,
      ...options,
      headers: { host: '127.0.0.1:8080', 'user-agent': 'a test', ...cookie, ...options.headers },
    });
    for (const set of [reply.headers['set-cookie'] ?? []].flat()) {
      const value = /^[^=]+=;/.test(set) ? '' : (set.split(';')[0] as string);
      if (/^(__Host-)?inlet-device=/.test(set)) this.device = value;
      else this.cookie = value;
    }
    // Looked at as a person reads it, who does not see which space is which.
    const read = reply.body.replaceAll('\u00a0', ' ').replaceAll('\u2060', '');
    if (/^text\/html/.test(String(reply.headers['content-type'])))
      Object.defineProperty(reply, 'body', { value: read });
    this.last = reply;
    return reply;
  }
}

/** A browser of a person who is signed in already; by the same cookie as the page gives, without the work of a passphrase. */
export function signedIn({ app, store }: ShopUnderTest, person: string, address?: string): Browser {
  const browser = new Browser(app, address);
  const id = randomBytes(24).toString('base64url');
  const data = { cookie: {}, personId: person, agent: 'a test' };
  store.sessions.set(id, data, { person, agent: 'a test' });
  browser.cookie = `inlet=${encodeURIComponent(new Signer(store.secret.cookie, 'sha256').sign(id))}`;
  return browser;
}

/** The token of a page's forms and the key of its first. */
export function tokensOf(html: string): { _csrf: string; _key: string; _seen: string } {
  const find = (name: string) => new RegExp(`name="${name}" value="([^"]*)"`).exec(html)?.[1] ?? '';
  return { _csrf: find('_csrf'), _key: find('_key'), _seen: find('_seen') };
}

/** The sentences beside fields and on top, without markup. */
export function toMend(html: string): string[] {
  const summary = /<section class="errors"[\s\S]*?<\/section>/.exec(html)?.[0] ?? '';
  return [...summary.matchAll(/<li>([\s\S]*?)<\/li>/g)].map((m) =>
    (m[1] as string).replace(/<[^>]+>/g, '').trim(),
  );
}
