import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

/** The tests of the computation alone, for the mutation check: they need no database. */
export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/domain/**/*.test.ts'],
    pool: 'threads',
    setupFiles: ['./tests/helpers/few-runs.ts'],
    testTimeout: 60_000,
  },
})
