import type { Reporter, TestModule } from 'vitest/node'

/** Closes a run with one plain line, whatever else is printed: `N passed, N failed`. */
export default class SummaryReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]): void {
    const tests = modules.flatMap((module) => [...module.children.allTests()])
    const passed = tests.filter((test) => test.result().state === 'passed').length
    const broken = modules.filter((module) => module.errors().length > 0).length
    const failed = tests.filter((test) => test.result().state === 'failed').length
    // A file that could not be loaded, or an error outside a test, is a failure too.
    process.stdout.write(`\n${passed} passed, ${failed + broken + errors.length} failed\n`)
  }
}
