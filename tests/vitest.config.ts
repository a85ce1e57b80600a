import { availableParallelism } from 'node:os'
import { defineConfig } from 'vitest/config'

// Whoever runs the tests may have settings of their own in the environment: the tests must not see them.
for (const name of Object.keys(process.env))
  if (name.startsWith('BRUMAL_') && name !== 'BRUMAL_REQUIRE_PEERS') delete process.env[name]

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    pool: 'forks',
    // the default leaves one core free, which on two cores is half the machine
    maxWorkers: Math.max(2, availableParallelism()),
    testTimeout: 20_000,
    hookTimeout: 60_000,
  },
})
