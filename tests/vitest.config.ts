import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/long/**', 'node_modules/**'],
    // Half of the time a test waits for another process; on two cores the default would run one file at a time.
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default', ['json', { outputFile: '.test-output/short.json' }]],
    // A test that checks nothing must not pass.
    expect: { requireAssertions: true },
  },
});
