import { expect, test } from 'vitest';
import { AppError } from '../../src/errors.js';
import { whereThereIsRoom } from '../../src/store/sql-error.js';

const failing = (error: unknown) => () =>
  whereThereIsRoom(() => {
    throw error;
  });
const withCode = (code: string) => Object.assign(new Error('as SQLite or the system says it'), { code });

test('a write that can be done without is left out where the disk refuses it, by whichever name', () => {
  for (const code of ['SQLITE_FULL', 'SQLITE_IOERR_WRITE', 'ENOSPC', 'EIO'])
    expect(failing(withCode(code))).not.toThrow();
  for (const code of ['store-full', 'logbook-broken'] as const)
    expect(failing(new AppError(code))).not.toThrow();
});

test('what is no word of the disk is thrown on', () => {
  expect(failing(withCode('SQLITE_CONSTRAINT_UNIQUE'))).toThrow('as SQLite');
  expect(failing(new AppError('not-allowed'))).toThrow(AppError);
});
