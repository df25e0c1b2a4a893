// Makes src/store/passphrase-lists/common-passphrases.txt anew: node src/store/passphrase-lists/make-common-passphrases.mjs FREQUENCY_LISTS, where FREQUENCY_LISTS is the
// lib/frequency_lists.js of the npm package zxcvbn 4.4.2 (`npm pack zxcvbn@4.4.2`).
import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { resolve } from 'node:path';

const [source] = process.argv.slice(2);
if (source === undefined) throw new Error('say where frequency_lists.js is');
const { passwords } = createRequire(import.meta.url)(resolve(source));
const mostUsed = 12_000;

const ownFile = new URL('own-passphrases.txt', import.meta.url);
const own = readFileSync(ownFile, 'utf8')
  .split('\n')
  .filter((line) => !line.startsWith('#'))
  .join(' ')
  .split(/\s+/);
const fold = (text) => text.toLowerCase().replace(/[^a-z0-9]/g, '');
const folded = [...new Set(passwords.map(fold))].filter((text) => text.length >= 4);
const taken = new Set([
  ...folded.slice(0, mostUsed),
  ...folded.filter((text) => text.length >= 12),
  ...own.map(fold).filter(Boolean),
]);
const digests = [...taken].map((text) =>
  createHash('sha256').update(text).digest().subarray(0, 5).toString('base64url'),
);
const lines = digests
  .sort()
  .join('')
  .match(/.{1,112}/g);
const head = `# ${taken.size} passphrases that are tried first, or that what is tried first is made of, in small letters and digits.
# Each stands as the first 5 bytes of its SHA-256, in base64url, 16 to a line, sorted; made by make-common-passphrases.mjs
# from the ${mostUsed} most used, and all of 12 letters or more, of the list "passwords" in the npm package zxcvbn 4.4.2 (MIT licence;
# Copyright (c) 2012-2016 Dan Wheeler and Dropbox, Inc.; its text is in LICENSE-common-passphrases.txt), and from our
# own-passphrases.txt.
`;
writeFileSync(new URL('common-passphrases.txt', import.meta.url), `${head}${lines.join('\n')}\n`);
