import { readdirSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { backupFolder, shopMark } from '../../../src/store/upkeep/backup-folder.js';
import { addNote, openedJob, tempFolder, tempStore } from '../temp-store.js';

// Under another mark the backups of yesterday would be no longer its own: one would be made at every look, and none would go.
test('a shop knows its backups again after it wrote on, and lets the oldest go', () => {
  const store = tempStore();
  const job = openedJob(store);
  const dir = tempFolder();
  const plan = { dir, everyHours: 24, keep: 2 };
  const day = (n: number) => new Date(`2026-11-${n}T08:00:00.000Z`);
  for (const n of [25, 26, 27]) {
    writeFileSync(`${dir}/${backupFolder(plan, () => shopMark(store.db)).nameAt(day(n))}`, '');
    addNote(store, job, `written on the ${n}th`);
  }
  // Copies that a person kept under names of their own are not counted, and never go.
  const [oldest] = readdirSync(dir).sort();
  const copies = [`copy-of-${oldest}`, `${oldest}.old`];
  for (const name of copies) writeFileSync(`${dir}/${name}`, '');
  const folder = backupFolder(plan, () => shopMark(store.db));
  expect(folder.list(day(28))).toHaveLength(3);
  folder.letOldestGo(day(28));
  const left = readdirSync(dir).filter((name) => !copies.includes(name));
  expect(left.map((name) => name.slice(6, 14)).sort()).toEqual(['20261126', '20261127']);
  expect(readdirSync(dir)).toHaveLength(4);
});
