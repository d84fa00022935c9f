import type { CivilDate } from '../calendar.ts'
import type { Recorded } from '../facts.ts'
import { type LateReferral, type LateReferralFacts, lateReferral } from './late-referral.ts'
import type { LawDate } from './law-date.ts'
import {
  type ClockFacts,
  clockNotRunning,
  type EvaluationClock,
  evaluationClock,
  referralDue,
} from './part-c-clock.ts'
import { type PlanReviews, planReviews } from './plan-reviews.ts'
import { inspectionDue } from './record-duties.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { type Transition, transition } from './transition.ts'
import type { Finding } from '../truth.ts'

/** What is on record about the child's way into and out of early intervention. */
export interface DeadlineFacts extends ClockFacts, LateReferralFacts {
  /** The day on which the concern was recorded. */
  readonly identifiedOn: Recorded<CivilDate>
  /** The day of the family's early intervention plan. */
  readonly planOn: Recorded<CivilDate>
  /** The day on which a parent asked to inspect the early intervention record. */
  readonly inspectionAskedOn: Recorded<CivilDate>
}

export interface Deadlines {
  readonly referralDue: LawDate
  readonly clock: EvaluationClock
  readonly lateReferral: LateReferral
  readonly transition: Transition
  readonly planReviews: PlanReviews
  /** Absent when nobody asked. */
  readonly inspection?: LawDate
  /** All of the above in this order. */
  readonly findings: readonly Finding[]
}

/**
 * Which dates does the law of early intervention set for a child? Always for information: the clinic
 * owns none of these clocks, and the referral for an orthosis depends on none of them.
 *
 * Days are calendar days and never roll forward. Each answer is unknown without the facts it needs. The
 * 45-day clock runs unless the child was referred too late for an evaluation or is three.
 *
 * @param asOf the day of the answer; facts after it are not seen
 * @see IDEA_PART_C
 */
export function deadlines(facts: DeadlineFacts, asOf: CivilDate, rules: RuleSet): Deadlines {
  const settings = rules.deadlines
  const late = lateReferral(facts, asOf, settings)
  const running = evaluationClock(facts, settings)
  const clock = NO_EVALUATION.has(late.class) ? clockNotRunning(running, late) : running
  const leaving = transition(facts.birthDate, settings)
  const reviews = planReviews(facts.planOn, settings)
  const referral = referralDue(facts.identifiedOn, settings)
  const { inspectionAskedOn: asked } = facts
  const inspection = asked === 'unknown' ? [] : [inspectionDue(asked, settings)]
  return {
    referralDue: referral,
    clock,
    lateReferral: late,
    transition: leaving,
    planReviews: reviews,
    ...(inspection[0] === undefined ? {} : { inspection: inspection[0] }),
    findings: [
      referral,
      clock.due,
      clock.tolled,
      late,
      leaving.thirdBirthday,
      leaving.opens,
      leaving.due,
      reviews.next,
      reviews.annual,
      ...inspection,
    ],
  }
}

const NO_EVALUATION: ReadonlySet<LateReferral['class']> = new Set(['late-under-45', 'aged-out'])
