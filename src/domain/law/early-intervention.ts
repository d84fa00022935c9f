import type { AssessedChild } from '../assessed-child.ts'
import type { CivilDate } from '../calendar.ts'
import { estimatedDelay } from '../development/estimated-delay.ts'
import type { Fact, Recorded } from '../facts.ts'
import { type DeadlineFacts, type Deadlines, deadlines } from './deadlines.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { type StateThresholdAnswer, stateThreshold } from './state-thresholds.ts'
import { thirdBirthdayOf } from './transition.ts'

/** What is on record about the child's place in early intervention. */
export interface ProgrammeFacts extends Omit<DeadlineFacts, 'birthDate' | 'exceptions'> {
  /** Two-letter code of the state in which the child lives. */
  readonly state: Recorded<string>
  /** The first day on which a concern about motor development was recorded. */
  readonly firstConcernOn: Recorded<CivilDate>
}

/** For information: the clinic owns none of the clocks and no number decides. */
export interface EarlyIntervention {
  readonly deadlines: Deadlines
  /** Absent where the state is unknown, and from the third birthday on. */
  readonly threshold?: StateThresholdAnswer
}

/**
 * What does the law of early intervention say for a child: its dates, and whether the delay reaches the
 * number of the state?
 *
 * Undefined where nothing on record says that this law concerns the child: no state of the USA and no
 * date of the programme; or from the third birthday on, without such a date. A child counts as identified
 * on the day that is on record as that, else on the first day of a recorded concern. Exceptions to the
 * 45-day clock are not read from the record: what they would move is unknown.
 *
 * @see SOURCES idea-303-303, judgement
 */
export function earlyIntervention(
  { child, asOf, ages, tempo }: AssessedChild,
  facts: ProgrammeFacts,
  rules: RuleSet,
): EarlyIntervention | undefined {
  const { birthDate, gestationDays, standardised } = child
  const { state } = facts
  const dates = programmeDeadlines(birthDate, facts, asOf, rules)
  if (dates === undefined) return undefined
  const under = asOf < thirdBirthdayOf(birthDate.value, rules.deadlines)
  const found = { deadlines: dates }
  if (state === 'unknown' || !under) return found
  const delay = {
    birthDate,
    gestationDays,
    standardised,
    developmentalAge: 'unknown',
    estimate: estimatedDelay(tempo, ages),
  } as const
  return { ...found, threshold: stateThreshold(state.value, delay, asOf, rules) }
}

/**
 * The dates alone, without a look at the delay.
 *
 * Undefined where nothing on record says that this law concerns the child.
 */
export function programmeDeadlines(
  birthDate: Fact<CivilDate>,
  facts: ProgrammeFacts,
  asOf: CivilDate,
  rules: RuleSet,
): Deadlines | undefined {
  const { state, firstConcernOn, ...dates } = facts
  const dated = Object.values(dates).some((fact) => fact !== 'unknown')
  if (!dated && state === 'unknown') return undefined
  if (!dated && asOf >= thirdBirthdayOf(birthDate.value, rules.deadlines)) return undefined
  const identifiedOn = dates.identifiedOn === 'unknown' ? firstConcernOn : dates.identifiedOn
  return deadlines({ ...dates, identifiedOn, birthDate, exceptions: 'unknown' }, asOf, rules)
}
