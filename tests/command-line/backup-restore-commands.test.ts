import { execFile } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { packageRoot } from '../../src/package-root.js';
import { addNote, openedJob, tempFolder, tempStore } from '../store/temp-store.js';

interface Ended {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

/** The program from its sources in a process of its own, as a shell would start it. */
function inlet(...args: string[]): Promise<Ended> {
  const words = ['--import', 'tsx', `${packageRoot}/src/main.ts`, ...args];
  return new Promise((resolve) => {
    const child = execFile(process.execPath, words, { cwd: packageRoot }, (error, out, err) => {
      resolve({ status: error === null ? 0 : Number(error.code), out, err });
    });
    onTestFinished(() => void child.kill('SIGKILL'));
  });
}

/** A shop at rest with one job, and a folder to work in. */
function shop() {
  const store = tempStore();
  addNote(store, openedJob(store), 'one');
  store.close();
  return { dir: store.dir, work: tempFolder() };
}

const oneLine = (words: RegExp) => expect.stringMatching(new RegExp(`^[^\\n]*${words.source}[^\\n]*\\n$`));

test('a shop goes into a file and comes back from it, and both say what is in it and what is not', async () => {
  const { dir, work } = shop();
  const made = await inlet('backup', `${work}/shop.backup`, '--data', dir);
  expect(made).toEqual({ status: 0, out: expect.stringContaining('1 jobs with 2 entries'), err: '' });
  expect(made.out).toContain('Not inside: passphrases');
  const back = await inlet('restore', `${work}/shop.backup`, '--data', `${work}/back`);
  expect(back).toEqual({ status: 0, out: expect.stringContaining('1 jobs with 2 entries'), err: '' });
  expect(back.out).toContain('keeper-passphrase');
  expect(back.out).toContain('an owner’s link that was withdrawn since opens again');
  expect(readdirSync(`${work}/back`).sort()).toEqual(['heads.json', 'logbook.db']);
  expect(tempStore(`${work}/back`).broken).toBeUndefined();
  expect(readdirSync(work).sort()).toEqual(['back', 'shop.backup']);
});

test('backup refuses in one line a missing folder, a file that is there, a place that is not, and odd arguments', async () => {
  const { dir, work } = shop();
  writeFileSync(`${work}/mine`, 'mine');
  const cases: [string[], RegExp][] = [
    [['backup'], /backup: needs FILE, was given none/],
    [['backup', 'a', 'b'], /backup: needs FILE, was given a b/],
    [['backup', 'a', '--quickly'], /--quickly/],
    [['backup', `${work}/new`, '--data', `${work}/nowhere`], /There is no logbook in .*nowhere/],
    [['backup', `${work}/mine`, '--data', dir], /mine is there already; name another file/],
    [['backup', `${work}/no/where`, '--data', dir], /Nothing can be written in .*no/],
  ];
  const ended = await Promise.all(cases.map(([args]) => inlet(...args)));
  for (const [k, { status, out, err }] of ended.entries())
    expect([cases[k]?.[0], status, out, err]).toEqual([
      cases[k]?.[0],
      2,
      '',
      oneLine(cases[k]?.[1] as RegExp),
    ]);
  expect(readFileSync(`${work}/mine`, 'utf8')).toBe('mine');
  expect(readdirSync(work)).toEqual(['mine']);
});

test('restore refuses in one line what is no whole backup of this version, and a folder that holds anything', async () => {
  const { dir, work } = shop();
  const file = `${work}/shop.backup`;
  expect((await inlet('backup', file, '--data', dir)).status).toBe(0);
  const bytes = readFileSync(file);
  const line = bytes.indexOf(0x0a);
  const flipped = Buffer.from(bytes);
  flipped[line + 5000] = (flipped[line + 5000] as number) ^ 1;
  const newer = JSON.stringify({
    ...JSON.parse(bytes.toString('utf8', 0, line)),
    schema: 99,
    program: '9.0.0',
  });
  writeFileSync(`${work}/cut`, bytes.subarray(0, bytes.length - 700));
  writeFileSync(`${work}/flipped`, flipped);
  writeFileSync(`${work}/newer`, Buffer.concat([Buffer.from(newer), bytes.subarray(line)]));
  writeFileSync(`${work}/words`, 'these are only words');
  mkdirSync(`${work}/full`);
  copyFileSync(file, `${work}/full/a note`);
  const before = readdirSync(work).sort();
  const cases: [string, string, number, RegExp][] = [
    ['cut', 'to', 2, /cut is not whole/],
    ['flipped', 'to', 2, /flipped is damaged/],
    ['newer', 'to', 1, /newer was made by a newer version of this program \(9\.0\.0\)/],
    ['words', 'to', 2, /words is no backup of this program/],
    ['nowhere', 'to', 2, /nowhere cannot be read|to cannot be read/],
    ['shop.backup', 'full', 2, /full is not empty/],
    ['shop.backup', 'words', 2, /words is not empty|words is no folder/],
  ];
  const ended = await Promise.all(
    cases.map(([from, to]) => inlet('restore', `${work}/${from}`, '--data', `${work}/${to}`)),
  );
  for (const [k, [from, , code, words]] of cases.entries())
    expect([from, ended[k]]).toEqual([from, { status: code, out: '', err: oneLine(words) }]);
  expect(existsSync(`${work}/to`)).toBe(false);
  expect(readdirSync(work).sort()).toEqual(before);
  expect(readdirSync(`${work}/full`)).toEqual(['a note']);
});

test('a backup on a disk without room says so, leaves nothing there, and the shop is as it was', async () => {
  const { dir, work } = shop();
  // No file of this process may grow beyond 64 KB: what a full disk answers, without one.
  const words = ['-c', 'ulimit -f 128; trap "" XFSZ; exec "$@"', 'sh', process.execPath, '--import', 'tsx'];
  const args = [...words, `${packageRoot}/src/main.ts`, 'backup', `${work}/shop.backup`, '--data', dir];
  const { status, err } = await new Promise<Ended>((resolve) =>
    execFile(
      'sh',
      args,
      { cwd: packageRoot, env: { ...process.env, TSX_DISABLE_CACHE: '1' } },
      (error, out, said) => resolve({ status: Number(error?.code ?? 0), out, err: said }),
    ),
  );
  expect([status, err]).toEqual([1, oneLine(/There is no room for .*shop\.backup, or its disk fails/)]);
  expect(readdirSync(work)).toEqual([]);
  expect(tempStore(dir).broken).toBeUndefined();
});
