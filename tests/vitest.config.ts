import { availableParallelism } from 'node:os'
import { defineConfig } from 'vitest/config'

const isLong = process.env['BRUMAL_LONG'] === '1'
// Whoever runs the tests may have settings of their own in the environment: the tests must not see them.
for (const name of Object.keys(process.env))
  if (name.startsWith('BRUMAL_') && name !== 'BRUMAL_REQUIRE_PEERS') delete process.env[name]

/** Only computes, so that the next file need not begin with another process. */
const pure = ['tests/core/**/*.test.ts', 'tests/core/**/*.test.tsx', 'tests/published/**/*.test.ts']

/** Cleans up after itself: in one process for many files, the daemon's modules are loaded once. */
const parts = ['tests/contract/**/*.test.ts']

/** One browser for many files: each test has a context of its own in it, and closes it. */
const pages = ['tests/browser/**/*.test.ts', 'tests/browser/**/*.test.tsx']

/**
 * Real browsers, brokers and daemons on two busy cores: where nobody sits at the keyboard a test may try once more. Which
 * did is named at the end of the run, to be looked into.
 */
const retry = process.env['CI'] === undefined ? 0 : 1

/**
 * Minutes of killing, breaking and soaking, in which a commit a second counts: `npm run test:long`. In the everyday run
 * they would take as long as all the others together.
 */
const long = [
  'tests/anomaly/fault-*.test.ts',
  'tests/anomaly/broker-restart.test.ts',
  'tests/anomaly/soak.test.ts',
  'tests/flow/stops.test.ts',
]

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    projects: [
      { extends: true, test: { name: 'pure', include: pure, isolate: false } },
      { extends: true, test: { name: 'parts', include: parts, isolate: false, retry } },
      { extends: true, test: { name: 'pages', include: pages, isolate: false, retry } },
      {
        extends: true,
        test: {
          name: 'whole',
          include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
          exclude: [...pure, ...parts, ...pages, ...(isLong ? [] : long)],
          retry,
        },
      },
    ],
    // tests that run in both, and longer where there is time
    env: isLong ? { RUN_LONG: '1' } : {},
    pool: 'forks',
    // one more than there are cores: some wait for minutes
    maxWorkers: availableParallelism() + 1,
    testTimeout: 20_000,
    hookTimeout: 60_000,
  },
})
