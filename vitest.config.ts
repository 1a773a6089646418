import { defineConfig } from 'vitest/config'

const browser = 'tests/browser/**/*.test.ts'

export default defineConfig({
  test: {
    environment: 'node',
    // Nothing here measures time: whoever waits waits long enough for a machine that has other things to do.
    testTimeout: 180_000,
    hookTimeout: 240_000,
    expect: { poll: { timeout: 90_000 } },
    // Two cores is what a small machine has; browser tests want one of them.
    maxWorkers: 2,
    projects: [
      { extends: true, test: { name: 'browser', include: [browser], globalSetup: 'tests/browser/build-once.ts' } },
      {
        extends: true,
        test: { name: 'node', include: ['tests/**/*.test.ts', 'client/**/*.test.ts'], exclude: [browser] },
      },
    ],
  },
})
