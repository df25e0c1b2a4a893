import { randomBytes } from 'node:crypto';
import { chmodSync, closeSync, fsyncSync, openSync, readFileSync, writeSync } from 'node:fs';
import { z } from 'zod';
import { AppError } from '../errors.js';
import { syncFolder } from './sync-folder.js';

export const secretName = 'shop.secret';
const hex32 = z.string().regex(/^[0-9a-f]{64}$/);
const fileSchema = z.object({ keyPassphrase: hex32, cookie: hex32 });

/** What opens the shop's encrypted private key, and what signs its cookies. Never in the database or a backup of it. */
export type ShopSecret = z.output<typeof fileSchema>;

/** Reads `shop.secret` in the data folder; undefined where there is none. Throws AppError `bad-file` where it is spoilt. */
export function readShopSecret(dir: string): ShopSecret | undefined {
  const file = fileIn(dir);
  try {
    return fileSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw new AppError(
      'bad-file',
      `${file} cannot be read; without it the shop’s key stays closed. Put back the copy that was kept of it. Where there is none, move this file away and start again: a keeper can then make a new signing key, and what was signed before stays as it is.`,
      { cause },
    );
  }
}

/** The same for whoever writes in the folder: made at the first start, and for its owner alone (mode 0600). */
export function openShopSecret(dir: string): ShopSecret {
  const file = fileIn(dir);
  const secret = readShopSecret(dir);
  if (secret !== undefined) {
    chmodSync(file, 0o600);
    return secret;
  }
  const made = { keyPassphrase: randomBytes(32).toString('hex'), cookie: randomBytes(32).toString('hex') };
  const handle = openSync(file, 'wx', 0o600);
  try {
    writeSync(handle, `${JSON.stringify(made)}\n`);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  syncFolder(dir);
  return made;
}

function fileIn(dir: string): string {
  return `${dir}/${secretName}`;
}
