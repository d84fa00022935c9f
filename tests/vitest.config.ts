import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: './tests/helpers/database-server.ts',
    reporters: ['default', './tests/helpers/summary-reporter.ts'],
    pool: 'forks',
    // Most of a run was the import of the same modules for each file; a test file leaves nothing behind.
    isolate: false,
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 120_000,
  },
})
