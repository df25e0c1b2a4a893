import { rmSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import type { FastifyInstance } from 'fastify';
import { buildApp } from '../../src/app.js';
import { openStore, type Store } from '../../src/store/open-store.js';
import { makeSetUpToken } from '../../src/web/session/set-up-token.js';
import { scratchFolder } from '../scratch-folder.js';

export interface ServedShop {
  readonly app: FastifyInstance;
  readonly store: Store;
  readonly address: string;
  /** The word that the terminal would print. */
  readonly token: string;
  close(): Promise<void>;
}

/** A server on a port of its own over an empty data folder, by the real clock. */
export async function serveEmptyShop(): Promise<ServedShop> {
  const dir = scratchFolder();
  const clock = () => new Date();
  const store = openStore({ dir, clock });
  const setUp = makeSetUpToken(clock());
  const app = await buildApp({ config: { logLevel: 'silent' }, store, clock, setUp });
  await app.listen({ host: '127.0.0.1', port: 0 });
  const { port } = app.server.address() as AddressInfo;
  return {
    app,
    store,
    address: `http://127.0.0.1:${port}`,
    token: setUp.printed,
    async close() {
      await app.close();
      store.close();
      rmSync(dir, { recursive: true, force: true });
    },
  };
}
