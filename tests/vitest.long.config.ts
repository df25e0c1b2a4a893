import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/long/**/*.test.ts'],
    reporters: ['default', ['json', { outputFile: '.test-output/long.json' }]],
    testTimeout: 1_200_000,
    hookTimeout: 120_000,
    expect: { requireAssertions: true },
  },
});
