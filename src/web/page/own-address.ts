import { hostname } from 'node:os';
import type { FastifyRequest } from 'fastify';
import { byProxy } from '../session/how-it-came.js';

/**
 * The address that others reach this shop by, such as `https://192.0.2.10:8080`: the one it was started with, else the
 * one this page was opened under, where that is a name or an address of this machine. Whoever sends a request chooses its
 * Host, so that no link is built from any other; undefined then.
 */
export function ownAddress(request: FastifyRequest): string | undefined {
  const { config } = request.server.services;
  if (config.address !== undefined) return config.address;
  // What a proxy asks for is its own affair, and no address to hand out.
  if (byProxy(request)) return undefined;
  const name = request.hostname.toLowerCase().replace(/^\[|\]$/g, '');
  const own = [...loopback, ...machineNames(), bare(request.socket.localAddress ?? '')];
  return own.includes(name) ? `${request.protocol}://${request.host}` : undefined;
}

/** Whether an address leads to this machine from itself alone: anybody else who opens it finds nothing. */
export function opensHereOnly(address: string): boolean {
  return loopback.includes(new URL(address).hostname.replace(/^\[|\]$/g, ''));
}

const loopback = ['localhost', '127.0.0.1', '::1'];

function machineNames(): string[] {
  const name = hostname().toLowerCase();
  return name === '' ? [] : [name, `${name}.local`];
}

/** An IPv4 address that came over IPv6, as it is written in a link; a zone is of no use to others. */
function bare(address: string): string {
  return address.replace(/^::ffff:/, '').replace(/%.*$/, '');
}
