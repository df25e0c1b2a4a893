import { hostname, networkInterfaces } from 'node:os';

const everywhere = new Set(['0.0.0.0', '::']);

/** The host asked for, or every name and address of this machine where it listens on all of them. */
export function namesOf(host: string): string[] {
  return everywhere.has(host) ? [hostname(), 'localhost', ...networkAddresses(), '127.0.0.1'] : [host];
}

/** What another device can type to reach a server on this host. */
export function reachableHosts(host: string): string[] {
  const found = everywhere.has(host) ? networkAddresses() : [host];
  return (found.length > 0 ? found : ['127.0.0.1']).map((name) => (name.includes(':') ? `[${name}]` : name));
}

function networkAddresses(): string[] {
  const addresses = Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .filter((address) => !address.internal && !address.address.startsWith('fe80'))
    .map((address) => address.address.split('%')[0] as string);
  return [...new Set(addresses)];
}
