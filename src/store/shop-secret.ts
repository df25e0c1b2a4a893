import { randomBytes } from 'node:crypto';
import { chmodSync, closeSync, fsyncSync, openSync, readFileSync, writeSync } from 'node:fs';
import { z } from 'zod';
import { AppError } from '../errors.js';

const hex32 = z.string().regex(/^[0-9a-f]{64}$/);
const fileSchema = z.object({ keyPassphrase: hex32, cookie: hex32 });

/** What opens the shop's encrypted private key, and what signs its cookies. Never in the database or a backup of it. */
export type ShopSecret = z.output<typeof fileSchema>;

/** Reads `shop.secret` (mode 0600) in the data folder; makes it at the first start. */
export function openShopSecret(dir: string): ShopSecret {
  const file = `${dir}/shop.secret`;
  try {
    const secret = fileSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
    chmodSync(file, 0o600);
    return secret;
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code !== 'ENOENT')
      throw new AppError('bad-file', `${file} cannot be read; without it the shop's key stays closed.`, {
        cause,
      });
  }
  const made = { keyPassphrase: randomBytes(32).toString('hex'), cookie: randomBytes(32).toString('hex') };
  const handle = openSync(file, 'wx', 0o600);
  writeSync(handle, `${JSON.stringify(made)}\n`);
  fsyncSync(handle);
  closeSync(handle);
  return made;
}
