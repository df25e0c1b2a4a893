import { mkdirSync, readdirSync, renameSync, writeFileSync } from 'node:fs';
import { expect, onTestFinished, test, vi } from 'vitest';
import { openDatabase } from '../../../src/store/database.js';
import { makeBackup } from '../../../src/store/upkeep/backup.js';
import { type BackupPlan, shopMark } from '../../../src/store/upkeep/backup-folder.js';
import { keepUp, type Upkeep } from '../../../src/store/upkeep/upkeep.js';
import { addNote, openedJob, standingClock, tempFolder, tempStore } from '../temp-store.js';

/** Waits until what was due at the start is done: it goes before what is asked for after it. */
async function startOf(upkeep: Upkeep): Promise<void> {
  await new Promise((resolve) => setImmediate(resolve));
  await upkeep.check();
}

const silent = { info: () => undefined, error: () => undefined };

function tended(plan?: Partial<BackupPlan>, start?: string) {
  const clock = standingClock(start);
  const store = tempStore(tempFolder(), clock);
  const job = openedJob(store);
  const said: string[] = [];
  const note = (_facts: object, what: string) => void said.push(what);
  const upkeep = keepUp({
    store,
    clock,
    plan: plan && { dir: `${tempFolder()}/backups`, everyHours: 24, keep: 3, ...plan },
    log: { info: note, error: note },
  });
  onTestFinished(() => upkeep.stop());
  return { clock, store, job, upkeep, said };
}

test('keeps as many backups as it is told to, the newest, and touches nothing else in their folder', async () => {
  const dir = tempFolder();
  writeFileSync(`${dir}/inlet-notes.backup`, 'mine');
  const { clock, store, upkeep } = tended({ dir });
  for (let day = 0; day < 5; day += 1) {
    await upkeep.backUp();
    clock.move(86_400_000);
  }
  const mark = shopMark(store.db);
  expect(readdirSync(dir).sort()).toEqual([
    `inlet-20261127T080000Z-${mark}.backup`,
    `inlet-20261128T080000Z-${mark}.backup`,
    `inlet-20261129T080000Z-${mark}.backup`,
    'inlet-notes.backup',
  ]);
  expect(upkeep.state().newest?.at).toBe('2026-11-29T08:00:00.000Z');
});

test('makes one by itself where the newest is old enough, and none where it is not', async () => {
  const dir = tempFolder();
  const { store, clock } = tended();
  const mark = shopMark(store.db);
  makeBackup(store.dir, `${dir}/inlet-20261124T090000Z-${mark}.backup`, clock());
  const again = (everyHours: number) => {
    const upkeep = keepUp({ store, clock, plan: { dir, everyHours, keep: 3 }, log: silent });
    onTestFinished(() => upkeep.stop());
    return upkeep;
  };
  await startOf(again(24));
  expect(readdirSync(dir)).toEqual([`inlet-20261124T090000Z-${mark}.backup`]);
  await startOf(again(22));
  expect(readdirSync(dir).sort()).toEqual([
    `inlet-20261124T090000Z-${mark}.backup`,
    `inlet-20261125T080000Z-${mark}.backup`,
  ]);
});

test('a clock that ran a year ahead and was set right again keeps no backup from being made, nor pushes one out', async () => {
  const dir = tempFolder();
  const ahead = tended({ dir, keep: 2 }, '2027-11-25T08:00:00.000Z');
  for (let day = 0; day < 2; day += 1) {
    await ahead.upkeep.backUp();
    ahead.clock.move(86_400_000);
  }
  const { store, clock } = ahead;
  await ahead.upkeep.stop();
  const yearAhead = readdirSync(dir).sort();
  clock.move(-367 * 86_400_000);
  const upkeep = keepUp({ store, clock, plan: { dir, everyHours: 24, keep: 2 }, log: silent });
  onTestFinished(() => upkeep.stop());
  await startOf(upkeep);
  for (let day = 0; day < 2; day += 1) {
    clock.move(86_400_000);
    await upkeep.backUp();
  }
  const made = ['20261126T080000Z', '20261127T080000Z'].map(
    (at) => `inlet-${at}-${shopMark(store.db)}.backup`,
  );
  expect(readdirSync(dir).sort()).toEqual([...made, ...yearAhead]);
  expect(upkeep.state().newest?.file).toBe(made[1]);
});

test('two shops in one folder neither count nor push out each other’s backups, of one second or not', async () => {
  const dir = tempFolder();
  const [mine, theirs] = [tended({ dir, keep: 1 }), tended({ dir, keep: 2 }, '2026-11-25T08:00:00.001Z')];
  const marks = [shopMark(mine.store.db), shopMark(theirs.store.db)] as const;
  expect(marks[0]).not.toBe(marks[1]);
  for (let hour = 0; hour < 3; hour += 1) {
    await theirs.upkeep.backUp();
    await mine.upkeep.backUp();
    for (const { clock } of [mine, theirs]) clock.move(3_600_000);
  }
  expect(readdirSync(dir).sort()).toEqual(
    [
      `inlet-20261125T090000Z-${marks[1]}.backup`,
      `inlet-20261125T100000Z-${marks[0]}.backup`,
      `inlet-20261125T100000Z-${marks[1]}.backup`,
    ].sort(),
  );
  expect([mine.upkeep.state().backupFault, theirs.upkeep.state().backupFault]).toEqual([
    undefined,
    undefined,
  ]);
});

test('a shop that is set up after the start names its backups as its own from then on', async () => {
  const clock = standingClock();
  const store = tempStore(tempFolder(), clock);
  const upkeep = keepUp({ store, clock, plan: { dir: tempFolder(), everyHours: 24, keep: 3 }, log: silent });
  onTestFinished(() => upkeep.stop());
  await upkeep.backUp();
  const none = shopMark(store.db);
  openedJob(store);
  expect(shopMark(store.db)).not.toBe(none);
  clock.move(86_400_000);
  await upkeep.backUp();
  expect(upkeep.state().newest?.file).toBe(`inlet-20261126T080000Z-${shopMark(store.db)}.backup`);
});

test('what a backup of this shop that was cut off has left is taken away by the next one, and nothing else', async () => {
  const dir = tempFolder();
  const { store, upkeep } = tended({ dir });
  const mark = shopMark(store.db);
  const left = [
    `.inlet-unfinished-inlet-20261123T080000Z-${mark}.backup-aB3dE6`,
    '.inlet-unfinished-inlet-20261123T080000Z-0123abcd.backup-aB3dE6',
  ];
  for (const name of [...left, '.mine']) mkdirSync(`${dir}/${name}`);
  await upkeep.backUp();
  expect(readdirSync(dir).sort()).toEqual([
    '.inlet-unfinished-inlet-20261123T080000Z-0123abcd.backup-aB3dE6',
    '.mine',
    `inlet-20261125T080000Z-${mark}.backup`,
  ]);
});

test('what is under way is not asked for again, however often its hour comes meanwhile', async () => {
  vi.useFakeTimers({ toFake: ['setInterval'] });
  onTestFinished(() => void vi.useRealTimers());
  const { upkeep, said } = tended({});
  await new Promise((resolve) => setImmediate(resolve));
  vi.advanceTimersByTime(3_600_000);
  await upkeep.backUp();
  await upkeep.check();
  expect(said.toSorted()).toEqual([
    'a backup was made',
    'the whole store was looked through: everything agrees',
    'the whole store was looked through: everything agrees',
  ]);
});

test('is stopped at once, however far it has come, and closes nothing for it', async () => {
  const { store, upkeep } = tended();
  const checking = upkeep.check();
  await upkeep.stop();
  await checking;
  expect([upkeep.state().checked, store.broken]).toEqual([undefined, undefined]);
});

test('a backup that is stopped on the way leaves nothing in its folder', async () => {
  const dir = tempFolder();
  const { upkeep } = tended({ dir });
  const made = upkeep.backUp();
  await vi.waitUntil(() => readdirSync(dir).length > 0, { timeout: 60_000, interval: 1 });
  await upkeep.stop();
  await made;
  expect(readdirSync(dir).filter((name) => name.startsWith('.'))).toEqual([]);
  expect(upkeep.state().newest?.at).toBe(
    readdirSync(dir).length === 0 ? undefined : '2026-11-25T08:00:00.000Z',
  );
});

test('a look that could not be taken is told apart from a finding, and closes nothing', async () => {
  const { store, upkeep, said } = tended();
  renameSync(`${store.dir}/logbook.db`, `${store.dir}/elsewhere.db`);
  await upkeep.check();
  expect(upkeep.state().checkFault).toMatch(/There is no logbook in/);
  expect([upkeep.state().checked, store.broken]).toEqual([undefined, undefined]);
  expect(said).toContain('the store could not be looked through');
  renameSync(`${store.dir}/elsewhere.db`, `${store.dir}/logbook.db`);
  await upkeep.check();
  expect([upkeep.state().checkFault, upkeep.state().checked?.found]).toEqual([undefined, []]);
});

test('says why where none can be made, and lets no older one go for it', async () => {
  const folder = tempFolder();
  writeFileSync(`${folder}/backups`, 'a file where the folder should be');
  const { upkeep, said } = tended({ dir: `${folder}/backups` });
  await upkeep.backUp();
  expect(upkeep.state().backupFault).toMatch(/cannot be written in/);
  expect(said).toContain('no backup was made');
});

test('what it finds wrong anywhere closes the logbook for writing, while pages are read on', async () => {
  const { store, job, upkeep } = tended();
  for (let k = 0; k < 40; k += 1) addNote(store, job, `note ${k}`);
  await upkeep.check();
  expect([upkeep.state().checked?.found, store.broken]).toEqual([[], undefined]);
  const beside = openDatabase(`${store.dir}/logbook.db`);
  beside.exec(
    "DROP TRIGGER heads_no_update; UPDATE heads SET digest = '0' || substr(digest, 2) WHERE n = 3 AND digest NOT GLOB '0*'; UPDATE heads SET head = 'f' || substr(head, 2) WHERE n = 3",
  );
  beside.close();
  await upkeep.check();
  expect(store.broken).toMatch(/heads/);
  expect(() => addNote(store, job, 'no')).toThrow(/Nothing more is written/);
  expect(store.logbook.entries(job)).toHaveLength(41);
});
