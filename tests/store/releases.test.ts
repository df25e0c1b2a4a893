import { copyFileSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { assess } from '../../src/steps/assess.js';
import { openDatabase } from '../../src/store/database.js';
import { beforeName } from '../../src/store/open-store.js';
import { checkPassphrase } from '../../src/store/people/passphrase.js';
import { findings } from '../../src/store/upkeep/findings.js';
import { addNote, jobNumbers, tempFolder, tempStore } from './temp-store.js';

const folder = new URL('releases/', import.meta.url).pathname;
const releases = readdirSync(folder, { withFileTypes: true }).flatMap((e) =>
  e.isDirectory() ? [e.name] : [],
);

/** A folder as that release left it. */
function folderOf(release: string): string {
  const dir = tempFolder();
  writeFileSync(`${dir}/logbook.db`, gunzipSync(readFileSync(`${folder}${release}/logbook.db.gz`)));
  for (const name of ['heads.json', 'shop.secret'])
    copyFileSync(`${folder}${release}/${name}`, `${dir}/${name}`);
  return dir;
}

test('there is a folder of every release before this one', () => {
  expect(releases).toEqual(['0.1.0']);
});

test.each(releases)(
  'a folder of %s opens whole, is kept as it was beside, and work goes on in it',
  async (release) => {
    const dir = folderOf(release);
    const before = openDatabase(`${dir}/logbook.db`, { readOnly: true });
    const version = before.pragma('user_version', { simple: true }) as number;
    const entries = before.prepare('SELECT * FROM entries ORDER BY job, seq').all();
    before.close();
    expect(entries.length).toBeGreaterThan(30);

    const store = tempStore(dir);
    expect(store.broken).toBeUndefined();
    expect(store.keptBefore).toBe(beforeName(version));
    expect([...findings(store.db)]).toEqual([]);
    expect(store.db.prepare('SELECT * FROM entries ORDER BY job, seq').all()).toMatchObject(
      entries as object[],
    );
    const [job] = jobNumbers(store);
    expect(
      assess(store.logbook.log(job ?? ''))?.stages.some((s) => s.steps.some((x) => x.status === 'done')),
    ).toBe(true);
    const [ines] = store.shop.state().people;
    const hash = store.secrets.get(`passphrase:${ines?.id}`);
    expect(await checkPassphrase('spindle-lantern-otter-quarry', hash)).toMatchObject({ right: true });
    const last = store.logbook.entries(job ?? '').length;
    addNote(store, job ?? '', 'written by this version');
    expect(store.logbook.entries(job ?? '')).toHaveLength(last + 1);

    const kept = openDatabase(`${dir}/${beforeName(version)}`, { readOnly: true });
    expect(kept.pragma('user_version', { simple: true })).toBe(version);
    expect(kept.prepare('SELECT * FROM entries ORDER BY job, seq').all()).toEqual(entries);
    kept.close();
  },
);
