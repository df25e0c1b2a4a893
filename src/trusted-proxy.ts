import { BlockList, isIP } from 'node:net';

/** Whether what a peer says about who asked it, and how, is believed. */
export type TrustsPeer = (address: string) => boolean;

/**
 * Reads addresses and networks such as `127.0.0.1,10.0.0.0/24,fd00::/8`; undefined where one of them is none, or a network
 * of everybody. An IPv4 address that came over IPv6 counts as itself.
 */
export function readTrustedProxies(text: string): TrustsPeer | undefined {
  const list = new BlockList();
  for (const part of text.split(',').map((piece) => piece.trim())) {
    const [, address = '', prefix] = /^([0-9A-Fa-f.:]+)(?:\/(\d{1,3}))?$/.exec(part) ?? [];
    const version = isIP(address);
    if (version === 0) return undefined;
    const most = version === 4 ? 32 : 128;
    const bits = prefix === undefined ? most : Number(prefix);
    if (bits < 1 || bits > most) return undefined;
    list.addSubnet(address, bits, version === 4 ? 'ipv4' : 'ipv6');
  }
  const trusts = (address: string) => {
    const plain = address.replace(/%.*$/, '');
    const version = isIP(plain);
    return version !== 0 && list.check(plain, version === 4 ? 'ipv4' : 'ipv6');
  };
  // One request asks several times, and the proxy is the same one every time.
  let last = { address: '', trusted: trusts('') };
  return (address) => {
    if (address !== last.address) last = { address, trusted: trusts(address) };
    return last.trusted;
  };
}
