import { addDays, addMonths, calendarMonthsBetween, type CivilDate } from '../calendar.ts'
import type { DeviceProposal, FollowUp } from './fitting.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Truth } from '../truth.ts'

export interface VisitPlan {
  readonly deliveryOn: CivilDate
  readonly birthDate: CivilDate
  readonly walksAlone: Truth
  readonly devices: readonly Pick<DeviceProposal, 'side' | 'sizing'>[]
}

/** The rule set names its review intervals by it. */
const THREE_YEARS_IN_MONTHS = 36

/**
 * When should the child be seen after delivery, and what for?
 *
 * At delivery, after the weeks of the rule set, then every few months by the age at the visit
 * before – feet grow by the time since birth, so the age is chronological – to the end of the
 * plan, and when the first device is outgrown. In date order.
 */
export function followUps(plan: VisitPlan, rules: RuleSet): readonly FollowUp[] {
  const visits = [delivery(plan), ...early(plan, rules), ...reviews(plan, rules), ...refit(plan)]
  return visits.toSorted((a, b) => a.on.localeCompare(b.on))
}

const delivery = ({ deliveryOn }: VisitPlan): FollowUp => ({
  id: 'delivery',
  on: deliveryOn,
  wording: say('plan-visit.delivery'),
})

function early(plan: VisitPlan, rules: RuleSet): readonly FollowUp[] {
  const { trialReviewWeeksFrom: from, trialReviewWeeksTo: to } = rules.suitability
  return rules.fitting.followUpWeeks.map((week) => {
    const trial = week >= from && week <= to ? ofTrial(plan.walksAlone) : []
    const wording = together([say('plan-visit.week', { week }), ...trial])
    return { id: `week-${week}`, on: addDays(plan.deliveryOn, week * 7), wording }
  })
}

/** A child who does not walk yet is on trial: benefit was shown in children who walk. */
function ofTrial(walksAlone: Truth): readonly Message[] {
  if (walksAlone === 'yes') return []
  const trial = say('plan-visit.trial')
  return walksAlone === 'no' ? [trial] : [say('plan-visit.walking-not-on-record'), trial]
}

function reviews({ deliveryOn, birthDate }: VisitPlan, rules: RuleSet): readonly FollowUp[] {
  const { reviewMonthsUnder3, reviewMonthsFrom3, reviewMonthsFrom3Low, planMonths } = rules.fitting
  const end = addMonths(deliveryOn, planMonths)
  const start = addDays(deliveryOn, Math.max(...rules.fitting.followUpWeeks) * 7)
  const visits: FollowUp[] = []
  for (let before = start; ; ) {
    const young = calendarMonthsBetween(birthDate, before) < THREE_YEARS_IN_MONTHS
    const on = addMonths(before, young ? reviewMonthsUnder3 : reviewMonthsFrom3)
    if (on > end) return visits
    const wording = young
      ? say('plan-visit.review-under-3-years', { months: reviewMonthsUnder3 })
      : say('plan-visit.review', { low: reviewMonthsFrom3Low, months: reviewMonthsFrom3 })
    visits.push({ id: `review-${visits.length + 1}`, on, wording })
    before = on
  }
}

function refit({ devices, deliveryOn }: VisitPlan): readonly FollowUp[] {
  const dated = devices
    .flatMap(({ side, sizing }) =>
      sizing.refit?.median ? [{ side, on: sizing.refit.median }] : [],
    )
    .toSorted((a, b) => a.on.localeCompare(b.on))
  const [first] = dated
  if (first === undefined) return []
  const both = dated.every(({ on }) => on === first.on) && dated.length > 1
  const feet = both ? 'both' : first.side
  const soon = first.on < deliveryOn
  return [
    {
      id: 'refit',
      on: soon ? deliveryOn : first.on,
      wording: say(soon ? 'plan-visit.refit-before-delivery' : 'plan-visit.refit', { feet }),
    },
  ]
}
