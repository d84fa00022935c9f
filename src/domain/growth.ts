import type { CivilDate } from './calendar.ts'
import type { Evidence } from './facts.ts'
import type { Millimetres } from './units.ts'

export interface RefitForecast {
  /** Absent when it lies beyond the horizon. */
  readonly median?: CivilDate
  readonly earliest?: CivilDate
  readonly latest?: CivilDate
  readonly ratePerMonthMm: number
  readonly rateFrom: 'age-curve' | 'own-measurements'
  readonly limitMm: Millimetres
  readonly because: string
  readonly evidence: readonly Evidence[]
}
