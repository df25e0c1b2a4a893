import { readdirSync, writeFileSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { openDatabase } from '../../src/store/database.js';
import { type BackupPlan, keepUp } from '../../src/store/upkeep.js';
import { addNote, openedJob, standingClock, tempFolder, tempStore } from './temp-store.js';

function tended(plan?: Partial<BackupPlan>) {
  const clock = standingClock();
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
  const { clock, upkeep } = tended({ dir });
  for (let day = 0; day < 5; day += 1) {
    await upkeep.backUp();
    clock.move(86_400_000);
  }
  expect(readdirSync(dir).sort()).toEqual([
    'inlet-20261127T080000Z.backup',
    'inlet-20261128T080000Z.backup',
    'inlet-20261129T080000Z.backup',
    'inlet-notes.backup',
  ]);
  expect(upkeep.state().newest?.at).toBe('2026-11-29T08:00:00.000Z');
});

test('makes one by itself where the newest is old enough, and none where it is not', async () => {
  const dir = tempFolder();
  writeFileSync(`${dir}/inlet-20261124T090000Z.backup`, '');
  const { upkeep } = tended({ dir });
  await new Promise((resolve) => setImmediate(resolve));
  await upkeep.stop();
  expect(readdirSync(dir)).toEqual(['inlet-20261124T090000Z.backup']);
  const due = tended({ dir, everyHours: 22 });
  await new Promise((resolve) => setImmediate(resolve));
  await due.upkeep.stop();
  expect(readdirSync(dir).sort()).toEqual(['inlet-20261124T090000Z.backup', 'inlet-20261125T080000Z.backup']);
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
