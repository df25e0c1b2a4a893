import { generateKeyPairSync, type KeyObject, sign, X509Certificate } from 'node:crypto';
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from 'node:fs';
import { isIP } from 'node:net';
import { ecdsaSha256, extension, keyIdentifier, keyUsage, serialNumber } from '../record/certificate.js';
import { bits, context, element, integer, octets, oid, sequence, tags, time, utf8 } from '../record/der.js';
import { ipv6Words } from '../web/session/ipv6-words.js';
import { namesOf } from './host-names.js';

export interface TlsCertificate {
  readonly cert: string;
  readonly key: string;
  /** SHA-256 in pairs, as browsers show it. */
  readonly fingerprint: string;
}

const lastsDays = 397;
const dayMs = 86_400_000;

/**
 * The certificate that pages are served with on a network: made by this program for this machine's names and addresses,
 * kept in the data folder (mode 0600), made anew when it is about to expire, not valid yet, or the machine has other addresses.
 */
export function openTlsCertificate(dir: string, host: string, now: Date): TlsCertificate {
  const file = `${dir}/tls.pem`;
  const names = namesOf(host);
  return readKept(file, names, now) ?? makeAndKeep(file, names, now);
}

function readKept(file: string, names: readonly string[], now: Date): TlsCertificate | undefined {
  let pem: string;
  try {
    pem = readFileSync(file, 'utf8');
  } catch {
    return undefined;
  }
  const [key, cert] = pem.split(/(?=-----BEGIN CERTIFICATE-----)/);
  if (key === undefined || cert === undefined) return undefined;
  const read = readCertificate(cert);
  if (read === undefined) return undefined;
  const covers = names.every(
    (name) => (isIP(name) ? read.checkIP(name) : read.checkHost(name)) !== undefined,
  );
  // One that was made by a clock that ran ahead is not valid yet, and every browser would turn back.
  const begun = Date.parse(read.validFrom) <= now.getTime();
  const lasts = Date.parse(read.validTo) - now.getTime() > 14 * dayMs;
  return covers && begun && lasts ? { cert, key, fingerprint: read.fingerprint256 } : undefined;
}

function readCertificate(pem: string): X509Certificate | undefined {
  try {
    return new X509Certificate(pem);
  } catch {
    return undefined;
  }
}

function makeAndKeep(file: string, names: readonly string[], now: Date): TlsCertificate {
  const { publicKey, privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const der = certificateFor(names, publicKey, privateKey, now);
  const key = privateKey.export({ type: 'pkcs8', format: 'pem' }) as string;
  const cert = new X509Certificate(der).toString();
  const handle = openSync(`${file}.tmp`, 'w', 0o600);
  writeSync(handle, key + cert);
  fsyncSync(handle);
  closeSync(handle);
  renameSync(`${file}.tmp`, file);
  return { cert, key, fingerprint: new X509Certificate(der).fingerprint256 };
}

/** @source RFC 5280 sections 4.1 and 4.2 (subjectAltName 4.2.1.6, extKeyUsage 4.2.1.12) */
function certificateFor(
  names: readonly string[],
  publicKey: KeyObject,
  privateKey: KeyObject,
  now: Date,
): Buffer {
  const name = sequence(element(tags.set, sequence(oid('2.5.4.3'), utf8(names[0] as string))));
  const spki = publicKey.export({ type: 'spki', format: 'der' });
  const body = sequence(
    context(0, integer(Buffer.from([2]))),
    serialNumber(),
    ecdsaSha256,
    name,
    sequence(time(new Date(now.getTime() - dayMs)), time(new Date(now.getTime() + lastsDays * dayMs))),
    name,
    spki,
    context(
      3,
      sequence(
        extension('2.5.29.19', true, sequence()),
        keyUsage(7, 0x80),
        extension('2.5.29.37', false, sequence(oid('1.3.6.1.5.5.7.3.1'))),
        extension('2.5.29.14', false, octets(keyIdentifier(publicKey))),
        extension('2.5.29.17', false, sequence(...names.map(alternativeName))),
      ),
    ),
  );
  return sequence(body, ecdsaSha256, bits(sign('sha256', body, privateKey)));
}

const dnsName = 0x82;
const ipAddress = 0x87;

function alternativeName(name: string): Buffer {
  const version = isIP(name);
  if (version === 0) return element(dnsName, Buffer.from(name, 'latin1'));
  if (version === 4) return element(ipAddress, Buffer.from(name.split('.').map(Number)));
  return element(ipAddress, Buffer.from(ipv6Words(name).flatMap((word) => [word >> 8, word & 0xff])));
}
