import type { Io } from '../command.js';
import { readConfig } from '../config.js';
import { makePassphrase } from '../store/people/passphrase.js';
import { setPassphrase } from '../web/session/people.js';
import { keeperOf, openShop } from './open-shop.js';
import { readArguments, storeOptions } from './options.js';

const help = [
  'Usage: inlet-logbook keeper-passphrase SIGN-IN [--data DIR]',
  '',
  'Gives a keeper who has forgotten theirs a passphrase for one sign-in, and ends their sessions. For the last keeper, or after',
  'a backup was restored; for anybody else a keeper does it on the page of people. Stop the server first.',
  'It is written in the logbook of the shop, where every keeper sees it.',
  '  --data DIR   the data folder (INLET_DATA; ./data where nothing is said)',
  '  --help       this text',
];

/** Entries that nobody signed in for: whoever could open the data folder on the machine made them. */
const theMachine = { id: 'machine', name: 'the machine itself' } as const;

/** The command `keeper-passphrase`. */
export async function runKeeperPassphrase(
  args: readonly string[],
  io: Io,
  clock: () => Date = () => new Date(),
): Promise<number> {
  const given = readArguments(
    { command: 'keeper-passphrase', help, options: storeOptions, names: ['SIGN-IN'] },
    args,
    io,
  );
  if (given === undefined) return 0;
  const [values, signIn] = given;
  const store = openShop(readConfig({ data: values.data }).dataDir, clock);
  try {
    const keeper = keeperOf(store, signIn, 'keeper-passphrase');
    const passphrase = makePassphrase();
    await setPassphrase(store, { by: theMachine, person: keeper.id, passphrase, how: 'at-the-machine' });
    io.out(`${keeper.name} signs in as ${keeper.signIn} with: ${passphrase}`);
    io.out(
      'It works for three days, until they have chosen their own, which is asked for first. It is not shown again.',
    );
    return 0;
  } finally {
    store.close();
  }
}
