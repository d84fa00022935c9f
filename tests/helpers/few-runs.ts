import { configureGlobal } from 'fast-check'

/** For the mutation check, which runs the tests thousands of times. */
configureGlobal({ numRuns: 20 })
