import { defineConfig } from 'vitest/config'

const browser = 'tests/browser/**/*.test.ts'

export default defineConfig({
  test: {
    environment: 'node',
    testTimeout: 60_000,
    hookTimeout: 120_000,
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
