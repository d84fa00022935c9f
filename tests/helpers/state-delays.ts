import type { EstimatedDelay } from '../../src/domain/development/estimated-delay.ts'
import type { DelayFacts } from '../../src/domain/law/state-thresholds.ts'
import { months } from '../../src/domain/units.ts'

/** Nothing is known of the delay, with what a test adds. */
export const delayFacts = (known: Partial<DelayFacts> = {}): DelayFacts => ({
  standardised: 'unknown',
  developmentalAge: 'unknown',
  estimate: 'unknown',
  birthDate: 'unknown',
  gestationDays: 'unknown',
  ...known,
})

/** An invented estimate of 30 % at 20 months; every delay as probable as the next. */
export const estimate = (known: Partial<EstimatedDelay> = {}): EstimatedDelay => ({
  percent: 30,
  age: months(20),
  used: 'chronological',
  probabilityAtLeast: () => 0.6,
  evidence: [],
  ...known,
})
