import type { Buffer } from 'node:buffer';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { scratchFolder } from '../scratch-folder.js';
import { runTool } from './outside-tool.js';

export const ownPassphrase = 'Brückenkopf vier';

export interface OwnKeyWish {
  readonly key?: 'P-256' | 'P-384' | 'rsa';
  readonly rootKey?: 'P-256' | 'rsa:3072' | 'rsa:2048';
  readonly usage?: string;
  readonly purpose?: string;
  readonly authority?: boolean;
  /** Which certificates lie beside the signer's own. */
  readonly above?: readonly ('between' | 'root')[];
  /** How `openssl pkcs12 -export` closes it, where not as it does by itself. */
  readonly closed?: readonly string[];
  readonly digest?: 'sha256' | 'sha384' | 'sha1';
}

/** A PKCS#12 file as OpenSSL writes it: a key, its certificate, one authority above it and their root. */
export function opensslOwnKey(wish: OwnKeyWish = {}): { file: Buffer; root: string; folder: string } {
  const folder = scratchFolder();
  const path = (name: string) => join(folder, name);
  writeFileSync(path('none.cnf'), '[req]\ndistinguished_name=dn\n[dn]\n');
  const run = (...args: string[]) => {
    const { code, text } = runTool('openssl', args);
    if (code !== 0) throw new Error(`openssl ${args[0]}: ${text}`);
  };
  const keyOf = (kind: string) =>
    kind.startsWith('rsa')
      ? [kind.includes(':') ? kind : 'rsa:3072']
      : ['ec', '-pkeyopt', `ec_paramgen_curve:${kind}`];
  const made = (name: string, words: string, kind: string, extensions: string[], issuer?: string) =>
    run(
      ...['req', '-x509', '-config', path('none.cnf'), '-newkey', ...keyOf(kind), '-nodes', '-days', '365'],
      ...['-subj', `/O=Thimble Lane Vanworks/CN=${words}`, `-${wish.digest ?? 'sha256'}`],
      ...['-keyout', path(`${name}.key`), '-out', path(`${name}.pem`)],
      ...extensions.flatMap((e) => ['-addext', e]),
      ...(issuer === undefined ? [] : ['-CA', path(`${issuer}.pem`), '-CAkey', path(`${issuer}.key`)]),
    );
  const signs = ['basicConstraints=critical,CA:TRUE', 'keyUsage=critical,keyCertSign,cRLSign'];
  made('root', 'Thimble Lane root', wish.rootKey ?? 'P-256', signs);
  made('between', 'Thimble Lane issuing', 'P-256', signs, 'root');
  const leaf = [
    `basicConstraints=critical,CA:${wish.authority === true ? 'TRUE' : 'FALSE'}`,
    ...(wish.usage === '' ? [] : [`keyUsage=critical,${wish.usage ?? 'digitalSignature'}`]),
    ...(wish.purpose === undefined ? [] : [`extendedKeyUsage=${wish.purpose}`]),
  ];
  made('signer', 'Thimble Lane records', wish.key ?? 'P-256', leaf, 'between');
  const above = wish.above ?? ['between', 'root'];
  writeFileSync(path('above.pem'), above.map((name) => readFileSync(path(`${name}.pem`), 'utf8')).join(''));
  run(
    ...['pkcs12', '-export', '-inkey', path('signer.key'), '-passout', `pass:${ownPassphrase}`],
    ...['-in', path('signer.pem'), '-out', path('own.p12')],
    ...(above.length === 0 ? [] : ['-certfile', path('above.pem')]),
    ...(wish.closed ?? []),
  );
  return { file: readFileSync(path('own.p12')), root: readFileSync(path('root.pem'), 'utf8'), folder };
}
