import { Buffer } from 'node:buffer';
import { readFileSync, writeFileSync } from 'node:fs';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { scratchFolder } from '../scratch-folder.js';
import { runTool } from './outside-tool.js';

export interface AuthorityWish {
  /** What the certificate may be used for, as OpenSSL writes it. */
  readonly usage?: string;
  readonly key?: 'rsa' | 'ec' | 'weak';
  /** Whether the answer names the whole chain, and by which digest. */
  readonly chain?: boolean;
  readonly nameDigest?: 'sha1' | 'sha256' | 'sha512';
  readonly digest?: 'sha256' | 'sha384' | 'sha512';
  /** Without the root that signed itself, as most authorities answer. */
  readonly withoutRoot?: boolean;
}

export interface OpensslAuthority {
  readonly root: string;
  readonly between: string;
  readonly certificate: string;
  /** The answer of `openssl ts -reply` to a question. */
  reply(query: Uint8Array): Buffer;
  /** A token over what another authority said, signed with this one's key whatever its certificate is for. */
  signed(info: Uint8Array): Buffer;
}

/** A timestamp authority of OpenSSL's own, with a root, one authority between and a certificate under it. */
export function opensslAuthority(wish: AuthorityWish = {}): OpensslAuthority {
  const folder = scratchFolder();
  const path = (name: string) => join(folder, name);
  const run = (...args: string[]) => {
    const { code, text } = runTool('openssl', args);
    if (code !== 0) throw new Error(`openssl ${args[0]}: ${text}`);
  };
  const keyOf = {
    rsa: ['rsa:3072'],
    ec: ['ec', '-pkeyopt', 'ec_paramgen_curve:P-256'],
    weak: ['rsa:1024'],
  }[wish.key ?? 'ec'];
  const made = (name: string, subject: string, key: string[], extensions: string[], issuer?: string) =>
    run(
      ...['req', '-x509', '-newkey', ...key, '-nodes', '-days', '30', '-subj', subject],
      ...['-keyout', path(`${name}.key`), '-out', path(`${name}.pem`)],
      ...extensions.flatMap((e) => ['-addext', e]),
      ...(issuer === undefined
        ? []
        : ['-CA', path(`${issuer}.pem`), '-CAkey', path(`${issuer}.key`), '-set_serial', '0x4711']),
    );
  const ec = ['ec', '-pkeyopt', 'ec_paramgen_curve:P-256'];
  const signs = ['basicConstraints=critical,CA:TRUE', 'keyUsage=critical,keyCertSign,cRLSign'];
  writeFileSync(path('none.cnf'), '[req]\ndistinguished_name=dn\n[dn]\n');
  const before = process.env.OPENSSL_CONF;
  process.env.OPENSSL_CONF = path('none.cnf');
  try {
    made('root', '/O=Slack Water Time/CN=Slack Water root', ec, signs);
    made('between', '/O=Slack Water Time/CN=Slack Water issuing', ec, signs, 'root');
    made(
      'authority',
      '/O=Slack Water Time/CN=Slack Water timestamps',
      keyOf,
      [
        'basicConstraints=critical,CA:FALSE',
        'keyUsage=critical,digitalSignature',
        `extendedKeyUsage=${wish.usage ?? 'critical,timeStamping'}`,
      ],
      'between',
    );
  } finally {
    if (before === undefined) delete process.env.OPENSSL_CONF;
    else process.env.OPENSSL_CONF = before;
  }
  const read = (name: string) => readFileSync(path(name), 'utf8');
  writeFileSync(path('above.pem'), read('between.pem') + (wish.withoutRoot === true ? '' : read('root.pem')));
  writeFileSync(path('serial'), '01\n');
  writeFileSync(
    path('tsa.cnf'),
    [
      ...['[tsa]', 'default_tsa = one', '[one]', `serial = ${path('serial')}`, 'crypto_device = builtin'],
      ...[`signer_cert = ${path('authority.pem')}`, `certs = ${path('above.pem')}`],
      ...[`signer_key = ${path('authority.key')}`, `signer_digest = ${wish.digest ?? 'sha256'}`],
      ...['default_policy = 1.2.3.4.1', 'digests = sha256', 'accuracy = secs:1', 'ordering = yes'],
      ...['tsa_name = yes', `ess_cert_id_chain = ${wish.chain === true ? 'yes' : 'no'}`],
      `ess_cert_id_alg = ${wish.nameDigest ?? 'sha256'}`,
    ].join('\n'),
  );
  return {
    root: read('root.pem'),
    between: read('between.pem'),
    certificate: read('authority.pem'),
    reply(query) {
      writeFileSync(path('query'), query);
      run('ts', '-reply', '-config', path('tsa.cnf'), '-queryfile', path('query'), '-out', path('reply'));
      return readFileSync(path('reply'));
    },
    signed(info) {
      writeFileSync(path('info'), info);
      run(
        ...[
          'cms',
          '-sign',
          '-binary',
          '-cades',
          '-nosmimecap',
          '-nodetach',
          '-md',
          'sha256',
          '-outform',
          'DER',
        ],
        ...['-econtent_type', '1.2.840.113549.1.9.16.1.4', '-in', path('info'), '-out', path('token')],
        ...[
          '-signer',
          path('authority.pem'),
          '-inkey',
          path('authority.key'),
          '-certfile',
          path('above.pem'),
        ],
      );
      return readFileSync(path('token'));
    },
  };
}

/** A question of OpenSSL's own making: about other bytes, or with another nonce. */
export function opensslQuery(about: { digest: string } | { data: Uint8Array }): Buffer {
  const folder = scratchFolder();
  const data = join(folder, 'data');
  if ('data' in about) writeFileSync(data, about.data);
  const subject = 'data' in about ? ['-data', data] : ['-digest', about.digest];
  runTool('openssl', ['ts', '-query', ...subject, '-sha256', '-cert', '-out', join(folder, 'query')]);
  return readFileSync(join(folder, 'query'));
}

export type Answer = (query: Buffer, response: ServerResponse, request: IncomingMessage) => void;

/** A server that answers questions in whatever way a test wants. */
export async function timestampServer(answer: Answer): Promise<{ address: string; close(): Promise<void> }> {
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => answer(Buffer.concat(chunks), response, request));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}/time`,
    close: () =>
      new Promise((resolve) => {
        server.closeAllConnections();
        server.close(() => resolve());
      }),
  };
}

/** An honest answer by an authority. */
export function honest(authority: OpensslAuthority): Answer {
  return (query, response) =>
    void response
      .writeHead(200, { 'content-type': 'application/timestamp-reply' })
      .end(authority.reply(query));
}
