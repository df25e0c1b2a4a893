import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { packageRoot } from '../../package-root.js';

/**
 * Whether a passphrase is one that is tried first, or made of such: one with figures around it, one said over and over, or two in a row.
 * Capitals, blanks and marks between the letters make no other passphrase. The list is src/store/passphrase-lists/common-passphrases.txt, which names
 * its source.
 */
export function isCommon(passphrase: string): boolean {
  const plain = passphrase
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s!-/:-@[-`{-~]/g, '');
  const core = plain.replace(/^\d+|\d+$/g, '');
  return [plain, core].some(
    (text) => listed(text) || saidOverAndOver(text) || splits(text).some((parts) => parts.every(listed)),
  );
}

/** How many the list holds. */
export const commonCount = (): number => digests().size;

const digestLetters = 7;
const shortest = 4;
let read: ReadonlySet<string> | undefined;

/** Read when first asked for: most starts never do. */
function digests(): ReadonlySet<string> {
  read ??= new Set(
    readFileSync(`${packageRoot}/src/store/passphrase-lists/common-passphrases.txt`, 'utf8')
      .split('\n')
      .filter((line) => !line.startsWith('#'))
      .flatMap((line) => line.match(new RegExp(`.{${digestLetters}}`, 'g')) ?? []),
  );
  return read;
}

function listed(text: string): boolean {
  if (text.length < shortest) return false;
  return digests().has(
    createHash('sha256').update(text).digest().subarray(0, 5).toString('base64url').slice(0, digestLetters),
  );
}

/** A few letters, or a listed word, again and again. */
function saidOverAndOver(text: string): boolean {
  const unit = /^(.+?)\1+$/.exec(text)?.[1];
  return unit !== undefined && (unit.length <= 6 || listed(unit));
}

function splits(text: string): [string, string][] {
  return Array.from({ length: Math.max(0, Math.min(text.length, 40) - 2 * shortest + 1) }, (_, k) => [
    text.slice(0, k + shortest),
    text.slice(k + shortest),
  ]);
}
