import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/**/*.test.ts'],
    // Stories of many forms each: they take minutes, and stand with the long tests.
    exclude: [
      'tests/long/**',
      'tests/life/**',
      'tests/journeys/waits-on-the-phone.test.ts',
      'node_modules/**',
    ],
    globalSetup: './tests/setup/folder-of-the-run.ts',
    // Half of the time a test waits for another process; on two cores the default would run one file at a time.
    maxWorkers: 2,
    // Patience, no measure: a machine that is busy with other work is no fault of the product.
    testTimeout: 240_000,
    hookTimeout: 240_000,
    reporters: ['default', ['json', { outputFile: '.test-output/short.json' }]],
    // A test that checks nothing must not pass.
    expect: { requireAssertions: true },
  },
});
