import { ages } from './age.ts'
import type { AssessmentRules, Supposed } from '../assessed-child.ts'
import type { CivilDate } from '../calendar.ts'
import type { Child } from '../child.ts'
import { ImplausibleRecord } from '../implausible.ts'
import { milestones } from './milestones.ts'
import { tempo } from './tempo.ts'

/**
 * The same child, had it been born as early as is reckoned with while nobody has recorded gestation.
 * Unknown gestation is not birth at term: where this answer and that at term differ, it is not known.
 *
 * Undefined when gestation is recorded, when the child is too old for a correction, and when its record
 * cannot be that of a child born so early.
 */
export function ifPreterm(
  child: Child,
  asOf: CivilDate,
  rules: AssessmentRules,
): Supposed | undefined {
  if (child.gestationDays !== 'unknown') return undefined
  const supposed: Child = {
    ...child,
    gestationDays: { ...child.birthDate, value: rules.age.unknownGestationDays },
  }
  try {
    const age = ages(supposed, asOf, rules)
    if (age.used !== 'corrected') return undefined
    const seen = milestones(supposed, asOf, rules)
    return { ages: age, milestones: seen, tempo: tempo(supposed, seen, age, rules) }
  } catch (error) {
    if (error instanceof ImplausibleRecord) return undefined
    throw error
  }
}
