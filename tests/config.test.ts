import { expect, test } from 'vitest';
import { readConfig } from '../src/config.js';

test('an option wins over the environment, which wins over what is usual', () => {
  const environment = { INLET_PORT: '9001', INLET_HOST: '::1' };
  expect(readConfig({ port: '9002' }, environment)).toMatchObject({
    port: 9002,
    host: '::1',
    dataDir: 'data',
    https: false,
    backups: undefined,
  });
});

test('backups are made each day and fourteen stay, where only their folder is named', () => {
  const backups = { dir: '/mnt/other', everyHours: 24, keep: 14 };
  expect(readConfig({}, { INLET_BACKUP_DIR: '/mnt/other' }).backups).toEqual(backups);
  expect(readConfig({ backupDir: '/mnt/other', backupEvery: '6', backupKeep: '3' }, {}).backups).toEqual({
    ...backups,
    everyHours: 6,
    keep: 3,
  });
});

test.each([
  [{ backupEvery: '6' }, {}],
  [{ backupKeep: '3' }, {}],
  [{}, { INLET_BACKUP_EVERY: '6' }],
])(
  'how often, or how many, without a folder is refused: nobody believes in backups that are not made',
  (options, env) => {
    expect(() => readConfig(options, env)).toThrow(
      'No backup is made without a folder for them: give --backup-dir',
    );
  },
);

test.each([
  [{ port: '70000' }, '--port (or INLET_PORT) must be a port number from 0 to 65535'],
  [
    { backupDir: 'x', backupKeep: '0' },
    '--backup-keep (or INLET_BACKUP_KEEP) must be a whole number from 1 to 999',
  ],
  [{ address: 'https://shop.local/jobs' }, '--address (or INLET_ADDRESS) must be an http or https address'],
])('what cannot be used is named by its option and its variable (%o)', (options, said) => {
  expect(() => readConfig(options, {})).toThrow(said);
});
