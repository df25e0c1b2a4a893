import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: [
      'tests/long/**/*.test.ts',
      'tests/life/**/*.test.ts',
      'tests/journeys/waits-on-the-phone.test.ts',
    ],
    reporters: ['default', ['json', { outputFile: '.test-output/long.json' }]],
    globalSetup: './tests/setup/folder-of-the-run.ts',
    // Half of the time a test waits for another process; on two cores the default would run one file at a time.
    maxWorkers: 2,
    testTimeout: 1_200_000,
    hookTimeout: 120_000,
    expect: { requireAssertions: true },
  },
});
