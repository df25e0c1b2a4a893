import { z } from 'zod';
import { UsageError } from './command.js';
import { readTrustedProxies, type TrustsPeer } from './trusted-proxy.js';

const port = z
  .string()
  .regex(/^\d{1,5}$/, 'must be a port number from 0 to 65535')
  .transform(Number)
  .refine((n) => n <= 65_535, 'must be a port number from 0 to 65535');

const wholeNumber = (from: number, to: number) =>
  z
    .string()
    .regex(/^\d{1,5}$/, `must be a whole number from ${from} to ${to}`)
    .transform(Number)
    .refine((n) => n >= from && n <= to, `must be a whole number from ${from} to ${to}`);

const schema = z.object({
  INLET_DATA: z.string().min(1, 'must name a folder').default('data'),
  INLET_PORT: port.default(8080),
  INLET_HOST: z
    .string()
    .regex(/^[A-Za-z0-9.:-]{1,253}$/, 'must be an address or a host name')
    .default('127.0.0.1'),
  INLET_LOG: z
    .enum(['silent', 'error', 'warn', 'info', 'debug'], {
      error: 'must be silent, error, warn, info or debug',
    })
    .default('info'),
  INLET_ADDRESS: z
    .string()
    .refine(
      isOrigin,
      'must be an http or https address of a host and port alone, such as https://shop.local:8080',
    )
    .transform((text) => new URL(text).origin)
    .optional(),
  INLET_TRUST_PROXY: z
    .string()
    .transform((text, told) => {
      const trusts = readTrustedProxies(text);
      if (trusts !== undefined) return trusts;
      told.addIssue(
        'must be the address of a proxy or its network, such as 127.0.0.1 or 10.0.0.0/24, several with commas between, and not everybody’s',
      );
      return z.NEVER;
    })
    .optional(),
  INLET_TIMESTAMP: z
    .string()
    .refine(isPlainAddress, 'must be an http or https address without a name or passphrase in it')
    .optional(),
  INLET_BACKUP_DIR: z.string().min(1, 'must name a folder').optional(),
  INLET_BACKUP_EVERY: wholeNumber(1, 8760).default(24),
  INLET_BACKUP_KEEP: wholeNumber(1, 999).default(14),
});

/** Where the shop is kept, where it is served, and how much is logged. */
export interface Config {
  readonly dataDir: string;
  readonly port: number;
  readonly host: string;
  readonly logLevel: 'silent' | 'error' | 'warn' | 'info' | 'debug';
  /** The address that others reach the shop by, without a path; undefined where none was given. */
  readonly address: string | undefined;
  /** Whose word is believed on who asked and whether over TLS; nobody's where undefined. */
  readonly trustsPeer: TrustsPeer | undefined;
  /** The address of the authority that is asked for a timestamp on every record; undefined where none is. */
  readonly timestamp: string | undefined;
  /** Where backups go by themselves, every how many hours, and how many of them stay; undefined where none are made. */
  readonly backups: { readonly dir: string; readonly everyHours: number; readonly keep: number } | undefined;
  /** True where pages go over TLS: any host but this machine itself. */
  readonly https: boolean;
}

/** Options given on the command line win over the environment (INLET_DATA and so on). */
export function readConfig(
  options: {
    data?: string | undefined;
    port?: string | undefined;
    host?: string | undefined;
    address?: string | undefined;
    trustProxy?: string | undefined;
    timestamp?: string | undefined;
    backupDir?: string | undefined;
    backupEvery?: string | undefined;
    backupKeep?: string | undefined;
    /** How much is logged where the environment does not say. */
    log?: Config['logLevel'];
  },
  environment: Record<string, string | undefined> = process.env,
): Config {
  const given = {
    INLET_DATA: options.data ?? environment.INLET_DATA,
    INLET_PORT: options.port ?? environment.INLET_PORT,
    INLET_HOST: options.host ?? environment.INLET_HOST,
    INLET_LOG: environment.INLET_LOG ?? options.log,
    INLET_ADDRESS: options.address ?? environment.INLET_ADDRESS,
    INLET_TRUST_PROXY: options.trustProxy ?? environment.INLET_TRUST_PROXY,
    INLET_TIMESTAMP: options.timestamp ?? environment.INLET_TIMESTAMP,
    INLET_BACKUP_DIR: options.backupDir ?? environment.INLET_BACKUP_DIR,
    INLET_BACKUP_EVERY: options.backupEvery ?? environment.INLET_BACKUP_EVERY,
    INLET_BACKUP_KEEP: options.backupKeep ?? environment.INLET_BACKUP_KEEP,
  };
  const read = schema.safeParse(given);
  if (!read.success) {
    const [issue] = read.error.issues;
    const name = String(issue?.path[0]);
    const option = `--${name.replace('INLET_', '').toLowerCase().replace('_', '-')}`;
    throw new UsageError(`${name === 'INLET_LOG' ? name : `${option} (or ${name})`} ${issue?.message}`);
  }
  const { INLET_DATA, INLET_PORT, INLET_HOST, INLET_LOG, INLET_ADDRESS, INLET_TIMESTAMP, INLET_BACKUP_DIR } =
    read.data;
  // Whoever says how often would else believe that backups are made.
  if (INLET_BACKUP_DIR === undefined && (given.INLET_BACKUP_EVERY ?? given.INLET_BACKUP_KEEP) !== undefined)
    throw new UsageError(
      'No backup is made without a folder for them: give --backup-dir (or INLET_BACKUP_DIR) with --backup-every and --backup-keep',
    );
  return {
    dataDir: INLET_DATA,
    port: INLET_PORT,
    host: INLET_HOST,
    logLevel: INLET_LOG,
    address: INLET_ADDRESS,
    trustsPeer: read.data.INLET_TRUST_PROXY,
    timestamp: INLET_TIMESTAMP,
    backups:
      INLET_BACKUP_DIR === undefined
        ? undefined
        : {
            dir: INLET_BACKUP_DIR,
            everyHours: read.data.INLET_BACKUP_EVERY,
            keep: read.data.INLET_BACKUP_KEEP,
          },
    https: !isLoopback(INLET_HOST),
  };
}

function isOrigin(text: string): boolean {
  if (!isPlainAddress(text)) return false;
  const { pathname, search, hash } = new URL(text);
  return pathname === '/' && search === '' && hash === '';
}

function isPlainAddress(text: string): boolean {
  if (!URL.canParse(text)) return false;
  const { protocol, username, password } = new URL(text);
  return (protocol === 'http:' || protocol === 'https:') && username === '' && password === '';
}

function isLoopback(host: string): boolean {
  return host === 'localhost' || host === '::1' || /^127(\.\d{1,3}){3}$/.test(host);
}
