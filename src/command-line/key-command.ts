import { type FileIo, UsageError } from '../command.js';
import { readConfig } from '../config.js';
import { keysFromPkcs12, tryKeys } from '../record/own-key.js';
import { keepKeys } from '../store/keep-keys.js';
import { keeperOf, openShop } from './open-shop.js';
import { readArguments, storeOptions } from './options.js';

const help = [
  'Usage: inlet-logbook key --pkcs12 FILE [--data DIR] [--passphrase-file FILE] [--keeper SIGN-IN]',
  '',
  'Brings a signing key of the shop’s own: records issued from now on are signed with it. Earlier records stay known as',
  'this shop’s. Stop the server first. Its passphrase is asked for on the terminal.',
  '  --pkcs12 FILE           a P-256 key with its certificate and the chain up to the root, encrypted with AES',
  '                          (openssl pkcs12 -export -inkey key.pem -in certificate.pem -certfile chain.pem)',
  '  --passphrase-file FILE  reads the passphrase of the PKCS#12 file from the first line of this one',
  '  --data DIR              the data folder (INLET_DATA; ./data where nothing is said)',
  '  --keeper SIGN-IN        the keeper who brings it, where the shop has more than one',
  '  --help                  this text',
  '',
  'Exit 0 when the key is in force, 2 for a wrong argument or file, 1 where the data folder cannot be written.',
];

const options = {
  ...storeOptions,
  pkcs12: { type: 'string' },
  'passphrase-file': { type: 'string' },
  keeper: { type: 'string' },
} as const;

/** The command `key`. Answers the exit code; throws UsageError or AppError with one sentence for the person. */
export async function runKey(
  args: readonly string[],
  io: FileIo,
  clock: () => Date = () => new Date(),
): Promise<number> {
  const given = readArguments({ command: 'key', help, options }, args, io);
  if (given === undefined) return 0;
  const [values] = given;
  const path = values.pkcs12;
  if (path === undefined) throw new UsageError('key: needs --pkcs12 FILE');
  const { dataDir } = readConfig({ data: values.data });
  const file = await io.readBytes(path).catch(() => {
    throw new UsageError(`key: ${path}: cannot be read`);
  });
  const store = openShop(dataDir, clock);
  try {
    const { id, name } = keeperOf(store, values.keeper, 'key');
    const by = { id, name };
    const passphrase = await passphraseFrom(values['passphrase-file'], path, io);
    const secret = store.secret.keyPassphrase;
    const keys = keysFromPkcs12(file, { passphrase, now: clock(), secret });
    await tryKeys(keys, secret);
    keepKeys(store, { by, keys, reason: 'brought from a PKCS#12 file' });
    io.out(`Records are signed with the key that ${by.name} brought.`);
    io.out(`Signer: ${keys.fingerprint}`);
    io.out(`Root:   ${keys.rootFingerprint}`);
    io.out('Give the new fingerprint to those who check records. The earlier key stays on record.');
    return 0;
  } finally {
    store.close();
  }
}

async function passphraseFrom(file: string | undefined, of: string, io: FileIo): Promise<string> {
  const given = file === undefined ? await asked(of, io) : await firstLine(file, io);
  if (given === '') throw new UsageError('key: a passphrase is needed: a key that lies open is not taken');
  return given;
}

async function firstLine(file: string, io: FileIo): Promise<string> {
  const whole = await io.readFile(file).catch(() => {
    throw new UsageError(`key: ${file}: cannot be read`);
  });
  return whole.split(/\r?\n/)[0] as string;
}

async function asked(of: string, io: FileIo): Promise<string> {
  if (io.askSecret === undefined)
    throw new UsageError('key: there is no terminal to ask on: use --passphrase-file FILE');
  return io.askSecret(`Passphrase of ${of}: `);
}
