import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Store } from '../../../src/store/open-store.js';
import { makeSecretStore } from '../../../src/store/people/secret-store.js';
import { makeSessionStore } from '../../../src/store/people/session-store.js';
import { makeGuard } from '../../../src/store/write-guard.js';
import { standingClock, tempStore } from '../temp-store.js';

const act = fc.record({
  does: fc.constantFrom('set', 'destroy', 'endAll', 'endByHandle', 'put', 'wait', 'look'),
  which: fc.integer({ min: 0, max: 2 }),
  person: fc.constantFrom('', 'ines', 'tam'),
  takenBack: fc.boolean(),
});
type Act = typeof act extends fc.Arbitrary<infer T> ? T : never;

const sessionOf = (k: number) => `session-${k}`;

test('sessions and secrets read as the database has them, whatever was written, ended or taken back', () => {
  fc.assert(
    fc.property(fc.array(act, { maxLength: 30 }), (acts) => {
      const clock = standingClock();
      const store = tempStore(undefined, clock);
      for (const [k, one] of acts.entries()) {
        inOrTakenBack(store, one, () => run(store, one, k, clock));
        expect(seen(store)).toEqual(seen(afresh(store, clock)));
      }
      store.close();
    }),
    { numRuns: 60 },
  );
});

function run({ sessions, secrets }: Seen, { does, which, person }: Act, k: number, clock: Clock): void {
  const id = sessionOf(which);
  if (does === 'set') sessions.set(id, { k }, { person, agent: 'a phone' });
  if (does === 'destroy') sessions.destroy(id);
  if (does === 'endAll') sessions.endAll(person, id);
  if (does === 'endByHandle') sessions.endByHandle(person, sessions.handleOf(id) ?? '');
  if (does === 'put') secrets.put(id, `secret ${k}`);
  if (does === 'wait') clock.move(5 * 3_600_000);
}

type Seen = Pick<Store, 'sessions' | 'secrets'>;
type Clock = ReturnType<typeof standingClock>;

/** Within a transaction that then fails, where it is to be taken back; reading goes on inside it. */
function inOrTakenBack(store: Store, { takenBack }: Act, work: () => void): void {
  if (!takenBack) {
    work();
    return;
  }
  const fail = () =>
    store.transact(() => {
      work();
      seen(store);
      throw new Error('taken back');
    });
  expect(fail).toThrow('taken back');
}

const seen = ({ sessions, secrets }: Seen) =>
  [0, 1, 2].map((k) => [
    sessions.get(sessionOf(k)),
    sessions.handleOf(sessionOf(k)),
    secrets.get(sessionOf(k)),
  ]);

/** The same stores over the same database, which have nothing at hand yet. */
function afresh({ db, dir }: Store, clock: () => Date): Seen {
  const guard = makeGuard(db, `${dir}/heads.json`, clock, undefined);
  return { sessions: makeSessionStore(db, guard, clock), secrets: makeSecretStore(db, guard) };
}
