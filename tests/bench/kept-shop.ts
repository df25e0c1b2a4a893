import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { packageVersion } from '../../src/package-root.js';
import { openStore } from '../../src/store/open-store.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { nameShop, type ShopUnderTest, signedIn } from '../web/shop-under-test.js';
import { makeManyJobs } from './shop-of-many-jobs.js';

const root = new URL('../../.bench', import.meta.url).pathname;

/**
 * A data folder with so many jobs of so many entries each, and Ines as the keeper of its shop; made once and kept under
 * `.bench/` for the version of the program and the layout that it was made by. Measures sign in to it and write no entry.
 */
export async function keptShop(jobs: number, entries: number): Promise<string> {
  const dir = `${root}/${jobs}-jobs-of-${entries}`;
  if (existsSync(dir) && readFileSync(`${dir}/made-by`, 'utf8') === maker()) return dir;
  rmSync(dir, { recursive: true, force: true });
  const half = `${dir}.half`;
  rmSync(half, { recursive: true, force: true });
  mkdirSync(half, { recursive: true, mode: 0o700 });
  const store = openStore({ dir: half, clock: () => new Date() });
  nameShop({ store } as ShopUnderTest);
  makeManyJobs(store, { jobs, entries });
  store.close();
  writeFileSync(`${half}/made-by`, maker());
  renameSync(half, dir);
  return dir;
}

/** The cookie of its keeper, in a session that is made for it. */
export function signedInTo(dir: string): string {
  const store = openStore({ dir, clock: () => new Date() });
  const { cookie } = signedIn({ store } as ShopUnderTest, 'ines');
  store.close();
  return cookie;
}

/** What a folder's rows depend on besides its size. */
function maker(): string {
  const migrations = new URL('../../migrations/', import.meta.url);
  const texts = [
    ...readdirSync(migrations)
      .sort()
      .map((name) => readFileSync(new URL(name, migrations))),
    readFileSync(new URL('./shop-of-many-jobs.ts', import.meta.url)),
  ];
  const digest = createHash('sha256');
  for (const text of texts) digest.update(text);
  return `${packageVersion} ${rulesVersion} ${digest.digest('hex')}\n`;
}
