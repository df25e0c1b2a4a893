import { UsageError } from '../command.js';
import { AppError } from '../errors.js';
import { foldSignIn, type Person } from '../logbook/fold-shop.js';
import { openStore, type Store } from '../store/open-store.js';

/** Opens a shop that is there already, for writing: a wrong folder must not become a new one. */
export function openShop(dir: string, clock: () => Date): Store {
  openStore({ dir, clock, readOnly: true }).close();
  const store = openStore({ dir, clock });
  if (store.shop.state().named) return store;
  store.close();
  throw new AppError('bad-argument', `There is no shop in ${dir} yet: set it up first.`);
}

/** The keeper with this sign-in name, or the only one where none is named. Throws UsageError, which names `command`. */
export function keeperOf(store: Store, signIn: string | undefined, command: string): Person {
  const keepers = store.shop.state().people.filter((p) => p.active && p.roles.includes('keeper'));
  const [keeper, ...more] =
    signIn === undefined ? keepers : keepers.filter((p) => foldSignIn(p.signIn) === foldSignIn(signIn));
  const names = keepers.map((p) => p.signIn).join(', ');
  if (keeper === undefined)
    throw new UsageError(`${command}: ${signIn ?? 'nobody'} is no keeper of this shop; there is ${names}`);
  if (more.length > 0) throw new UsageError(`${command}: say which keeper, by --keeper SIGN-IN: ${names}`);
  return keeper;
}
