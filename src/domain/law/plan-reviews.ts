import { addMonths, type CivilDate } from '../calendar.ts'
import { evidenceOfAll } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import { type DeadlineSettings, deadline, type LawDate, type Told, undated } from './law-date.ts'
import { IDEA_PART_C } from '../tables/idea-part-c.ts'

export interface PlanReviews {
  readonly next: LawDate
  readonly annual: LawDate
}

/**
 * By when is a family's early intervention plan reviewed, and by when evaluated?
 *
 * Six and twelve calendar months after the day of the plan, sooner if warranted or requested; a month
 * that lacks the day ends on its last. Unknown without that day: a plan may exist elsewhere.
 *
 * @see SOURCES idea-303-342
 */
export function planReviews(planOn: Recorded<CivilDate>, settings: DeadlineSettings): PlanReviews {
  const { review, annualEvaluation } = IDEA_PART_C
  const told = (rule: string): Told => ({
    rule,
    sources: ['idea-303-342'],
    evidence: evidenceOfAll([planOn]),
  })
  const after = (rule: string, months: number, words: string) =>
    planOn === 'unknown'
      ? undated(told(rule), 'unknown', 'the day of the early intervention plan is not on record')
      : deadline(told(rule), addMonths(planOn.value, months), words, settings)
  return {
    next: after(
      'part-c.plan-review',
      review.months,
      `review of the plan every ${review.months} months, sooner if requested (${review.section}); by`,
    ),
    annual: after(
      'part-c.plan-annual',
      annualEvaluation.months,
      `yearly evaluation of the plan (${annualEvaluation.section}); by`,
    ),
  }
}
