import { expect, test } from 'vitest';
import { openStore } from '../../src/store/open-store.js';
import { makeBackup, restoreBackup } from '../../src/store/upkeep/backup.js';
import { standingClock, tempFolder } from '../store/temp-store.js';
import { Browser, shopUnderTest } from '../web/shop-under-test.js';
import { runHere } from './run-here.js';

/** What the command gave, as printed. */
const given = (out: string) => /with: (\S+)/.exec(out)?.[1] ?? '';

test('the last keeper who forgot their passphrase gets in again by the machine, chooses a new one first, and every keeper sees it', async () => {
  const dir = tempFolder();
  const before = await shopUnderTest({ dir });
  const old = new Browser(before.app);
  await old.signIn('ines');
  expect((await runHere('keeper-passphrase', 'ines', '--data', dir)).err).toContain('already writes');
  before.store.close();

  const { status, out } = await runHere('keeper-passphrase', 'INES', '--data', dir);
  expect([status, given(out).length > 20]).toEqual([0, true]);

  const { app, store } = await shopUnderTest({ dir, named: false });
  expect(store.shop.state().entries.at(-1)).toMatchObject({
    by: { id: 'machine' },
    kind: 'passphrase set',
    subject: 'ines',
    body: { how: 'at-the-machine' },
  });
  const again = new Browser(app);
  again.cookie = old.cookie;
  expect((await again.get('/people')).headers.location).toMatch(/^\/sign-in/);
  const browser = new Browser(app);
  expect((await browser.signIn('ines')).statusCode).toBe(422);
  expect((await browser.signIn('ines', given(out))).statusCode).toBe(303);
  expect((await browser.get('/people')).headers.location).toBe('/account');
  const own = 'a passphrase of my own choosing';
  await browser.post(
    '/account/passphrase',
    { current: given(out), passphrase: own, again: own },
    { page: '/account' },
  );
  expect((await browser.get('/people')).body).toContain('At the machine itself');
  expect((await new Browser(app).signIn('ines', given(out))).statusCode).toBe(422);
  expect((await new Browser(app).signIn('ines', own)).statusCode).toBe(303);
});

test('it says for how long it lets the keeper in, and so long it does', async () => {
  const dir = tempFolder();
  (await shopUnderTest({ dir })).store.close();
  const { out } = await runHere('keeper-passphrase', 'ines', '--data', dir);
  expect(out).toContain('for three days');
  const { app, clock } = await shopUnderTest({ dir, named: false });
  const hoursFromNow = (hours: number) => clock.move(Date.now() + hours * 3_600_000 - clock().getTime());
  hoursFromNow(71);
  expect((await new Browser(app).signIn('ines', given(out))).statusCode).toBe(303);
  hoursFromNow(73);
  const late = await new Browser(app).signIn('ines', given(out));
  expect([late.statusCode, late.body]).toEqual([422, expect.stringContaining('has run out')]);
});

test('after a restore nobody gets in until a keeper is let in by the machine', async () => {
  const { store } = await shopUnderTest();
  const [file, dir] = [`${tempFolder()}/shop.backup`, `${tempFolder()}/restored`];
  makeBackup(store.dir, file, new Date());
  restoreBackup(file, dir);
  const { out } = await runHere('keeper-passphrase', 'ines', '--data', dir);
  const { app } = await shopUnderTest({ dir, named: false });
  expect((await new Browser(app).signIn('ines')).statusCode).toBe(422);
  expect((await new Browser(app).signIn('ines', given(out))).statusCode).toBe(303);
});

test('nobody but a keeper is let in that way, and a folder without a shop is not made into one', async () => {
  const { store } = await shopUnderTest();
  store.close();
  const { status, err } = await runHere('keeper-passphrase', 'odile', '--data', store.dir);
  expect([status, err]).toEqual([2, 'keeper-passphrase: odile is no keeper of this shop; there is ines']);
  const other = openStore({ dir: store.dir, clock: standingClock() });
  expect(other.shop.state().entries.filter((e) => e.kind === 'passphrase set')).toEqual([]);
  other.close();
  expect((await runHere('keeper-passphrase', 'ines', '--data', tempFolder())).err).toContain(
    'There is no logbook',
  );
});
