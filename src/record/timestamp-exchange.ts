import type { Buffer } from 'node:buffer';
import { integer, members, octets, oid, readElement, sequence, tags, truth } from './der.js';
import { TimestampError } from './timestamp-token.js';

const one = integer(Uint8Array.of(1));
const sha256 = sequence(oid('2.16.840.1.101.3.4.2.1'));

/**
 * The question to an authority: a SHA-256, a nonce, and the wish to have its certificate beside the answer.
 * @source RFC 3161 section 2.4.1
 */
export function timestampRequest(digest: Buffer, nonce: Buffer): Buffer {
  return sequence(one, sequence(sha256, octets(digest)), integer(nonce), truth());
}

/**
 * The token in an authority's answer. Throws TimestampError where it refuses, with its own words, and DerError where it is no
 * answer at all. @source RFC 3161 section 2.4.2
 */
export function tokenIn(reply: Buffer): Buffer {
  const outer = readElement(reply);
  const [status, token, ...more] = members(outer);
  if (status === undefined || more.length > 0 || outer.whole.length !== reply.length)
    throw new TimestampError('is no answer to a question for a timestamp');
  const [code, words] = members(status);
  // 0 is granted, 1 is granted with changes; both come with a token, and every other comes without.
  const granted = code?.tag === tags.integer && code.content.length === 1 && code.content[0]! <= 1;
  if (granted && token !== undefined) return token.whole;
  throw new TimestampError(`refuses${words?.tag === tags.sequence ? `: ${wordsIn(words)}` : ''}`);
}

function wordsIn(text: ReturnType<typeof readElement>): string {
  return members(text)
    .map(({ content }) => content.toString('utf8').replace(/[\p{C}\u2028\u2029]/gu, '?'))
    .join(' ')
    .slice(0, 200);
}
