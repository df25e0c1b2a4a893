import type { FastifyInstance } from 'fastify';
import { buildApp } from '../app.js';
import { type Io, UsageError } from '../command.js';
import type { Config } from '../config.js';
import { timestampAuthority } from '../record/timestamp-authority.js';
import type { Store } from '../store/open-store.js';
import { keepUp } from '../store/upkeep/upkeep.js';
import type { SetUpToken } from '../web/session/set-up-token.js';
import { reachableHosts } from './host-names.js';
import { logLinesTo } from './log-lines-to.js';
import { openTlsCertificate, type TlsCertificate } from './tls-certificate.js';

interface Listening {
  /** Where it can be opened, the likeliest first. */
  readonly addresses: readonly [string, ...string[]];
  readonly tls: TlsCertificate | undefined;
  /** Resolves once a signal has ended the server and the store is closed. */
  readonly ended: Promise<void>;
  stop(): Promise<void>;
}

/** Serves a store until the process is told to stop; then requests end first, the store last. */
export async function listen(config: Config, store: Store, setUp?: SetUpToken): Promise<Listening> {
  const clock = () => new Date();
  const tls = config.https ? openTlsCertificate(store.dir, config.host, clock()) : undefined;
  const app = await buildApp({
    config,
    store,
    clock,
    log: logLinesTo(process.stdout.fd),
    upkeep: (log) => keepUp({ store, clock, plan: config.backups, log }),
    ...(setUp === undefined ? {} : { setUp }),
    ...(config.timestamp === undefined ? {} : { authority: timestampAuthority(config.timestamp) }),
    ...(tls === undefined ? {} : { tls }),
  });
  await open(app, config);
  const { port } = app.server.address() as { port: number };
  let stopped: Promise<void> | undefined;
  let end: () => void = () => undefined;
  const ended = new Promise<void>((resolve) => {
    end = resolve;
  });
  const stop = () => {
    stopped ??= app.close().then(() => {
      store.close();
      end();
    });
    return stopped;
  };
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void stop());
  const [first, ...others] = reachableHosts(config.host).map(
    (name) => `${tls ? 'https' : 'http'}://${name}:${port}`,
  ) as [string, ...string[]];
  return { addresses: [first, ...others], tls, ended, stop };
}

/** The first lines of a server: where it is, and how to know its certificate. */
export function printWhere(io: Io, title: string, { addresses, tls }: Listening): void {
  const [first, ...others] = addresses;
  io.out(`${title}: ${first}`);
  for (const other of others) io.out(`  also at ${other}`);
  if (tls !== undefined) {
    io.out(`Certificate fingerprint (SHA-256): ${tls.fingerprint}`);
    io.out('  a browser that warns shows the same fingerprint, or it is not this server');
  }
}

/** The words at a first start: where to go, and the word that works once. */
export function printSetUp(io: Io, address: string, setUp: SetUpToken): void {
  io.out('');
  io.out('This data folder is empty. Make the shop and its first person here:');
  io.out(`  ${address}/set-up`);
  io.out(`  one-time set-up token: ${setUp.printed}`);
  io.out(`  it works once, until ${setUp.expires.toISOString().slice(11, 16)} UTC; start again for another`);
}

async function open(app: FastifyInstance, config: Config): Promise<void> {
  try {
    await app.listen({ port: config.port, host: config.host });
  } catch (error) {
    await app.close();
    const { code } = error as NodeJS.ErrnoException;
    const why: Record<string, string> = {
      EADDRINUSE: 'is in use by another program',
      EACCES: 'may not be opened by this user',
      EADDRNOTAVAIL: 'is no address of this machine',
      ENOTFOUND: 'is no address of this machine',
    };
    if (code === undefined || why[code] === undefined) throw error;
    throw new UsageError(`serve: ${shownHost(config.host)}:${config.port} ${why[code]}`);
  }
}

function shownHost(host: string): string {
  return host.includes(':') ? `[${host}]` : host;
}
