import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The folder that holds package.json, views and migrations: one above `src` and above `dist`. */
export const packageRoot = fileURLToPath(new URL('..', import.meta.url)).replace(/\/$/, '');

/** The name and the version of this program, as its package.json says them. */
export const { name: packageName, version: packageVersion } = JSON.parse(
  readFileSync(`${packageRoot}/package.json`, 'utf8'),
) as { readonly name: string; readonly version: string };
