import { addMonths, type CivilDate } from '../calendar.ts'
import { evidenceOfAll } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import { type DeadlineSettings, deadline, type LawDate, type Told, undated } from './law-date.ts'
import { type Said, say } from '../messages/message.ts'
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
  const after = (rule: string, months: number, { yes, unknown }: { yes: Said; unknown: Said }) => {
    const told: Told = { rule, sources: ['idea-303-342'], evidence: evidenceOfAll([planOn]) }
    return planOn === 'unknown'
      ? undated(told, 'unknown', unknown)
      : deadline(told, addMonths(planOn.value, months), yes, settings)
  }
  return {
    next: after('part-c.plan-review', review.months, {
      yes: say('part-c.plan-review.yes', { months: review.months, section: review.section }),
      unknown: say('part-c.plan-review.unknown'),
    }),
    annual: after('part-c.plan-annual', annualEvaluation.months, {
      yes: say('part-c.plan-annual.yes', { section: annualEvaluation.section }),
      unknown: say('part-c.plan-annual.unknown'),
    }),
  }
}
