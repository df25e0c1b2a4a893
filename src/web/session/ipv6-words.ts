/** The eight 16-bit words of an IPv6 address, however it is written; its zone is left off. @source RFC 4291 section 2.2, RFC 4007 section 11 */
export function ipv6Words(address: string): number[] {
  const [plain = ''] = address.split('%');
  const words = (text: string | undefined) => (text ? text.split(':').flatMap(wordsIn) : []);
  const [left = [], right = []] = plain.split('::').map(words);
  const middle = Array.from({ length: 8 - left.length - right.length }, () => 0);
  return [...left, ...middle, ...right];
}

/** One group is a word; an IPv4 address at the end is two. */
function wordsIn(group: string): number[] {
  if (!group.includes('.')) return [Number.parseInt(group, 16)];
  const [a = 0, b = 0, c = 0, d = 0] = group.split('.').map(Number);
  return [(a << 8) | b, (c << 8) | d];
}
