import { addDays, addMonths, calendarMonthsBetween, type CivilDate } from '../calendar.ts'
import type { DeviceProposal, FollowUp, Wording } from './fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Truth } from '../truth.ts'

export interface VisitPlan {
  readonly deliveryOn: CivilDate
  readonly birthDate: CivilDate
  readonly walksAlone: Truth
  readonly devices: readonly DeviceProposal[]
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
  wording: {
    therapist: 'Delivery: fit check of every item, wear schedule and skin checks explained.',
    family:
      'We fit the new supports together, and show you how to put them on and what to look for.',
  },
})

function early(plan: VisitPlan, rules: RuleSet): readonly FollowUp[] {
  const { trialReviewWeeksFrom: from, trialReviewWeeksTo: to } = rules.suitability
  return rules.fitting.followUpWeeks.map((week) => {
    const visit: Wording = {
      therapist: `Week ${week}: fit check, skin, wear time, milestones with and without the devices.`,
      family: `After ${week} weeks we look at the fit and the skin, and at what your child can do now.`,
    }
    const wording = week >= from && week <= to ? withTrial(visit, plan.walksAlone) : visit
    return { id: `week-${week}`, on: addDays(plan.deliveryOn, week * 7), wording }
  })
}

/** A child who does not walk yet is on trial: benefit was shown in children who walk. */
function withTrial({ therapist, family }: Wording, walksAlone: Truth): Wording {
  if (walksAlone === 'yes') return { therapist, family }
  const ifNot =
    walksAlone === 'unknown' ? 'Should the child not walk alone yet (not on record): ' : ''
  const ifNotFamily = walksAlone === 'unknown' ? 'If your child does not walk alone yet: ' : ''
  return {
    therapist: `${therapist} ${ifNot}Trial review before walking: go on only if the child moves at least as well with the devices as barefoot.`,
    family: `${family} ${ifNotFamily}We decide together whether the supports help or whether your child does better without them for now.`,
  }
}

function reviews({ deliveryOn, birthDate }: VisitPlan, rules: RuleSet): readonly FollowUp[] {
  const { reviewMonthsUnder3, reviewMonthsFrom3, reviewMonthsFrom3Low, planMonths } = rules.fitting
  const end = addMonths(deliveryOn, planMonths)
  const start = addDays(deliveryOn, Math.max(...rules.fitting.followUpWeeks) * 7)
  const visits: FollowUp[] = []
  for (let before = start; ; ) {
    const young = calendarMonthsBetween(birthDate, before) < THREE_YEARS_IN_MONTHS
    const on = addMonths(before, young ? reviewMonthsUnder3 : reviewMonthsFrom3)
    // A review that does not move on would never end.
    if (on > end || on <= before) return visits
    const every = young
      ? `every ${reviewMonthsUnder3} months under 3 years`
      : `every ${reviewMonthsFrom3Low}-${reviewMonthsFrom3} months from 3 years`
    visits.push({
      id: `review-${visits.length + 1}`,
      on,
      wording: {
        therapist: `Review, ${every}: measure both feet, fit check, milestones, whether the devices are still needed.`,
        family:
          'We measure the feet, check the fit, and see whether the supports are still needed.',
      },
    })
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
  const sides = dated.filter(({ on }) => on === first.on).map(({ side }) => side)
  const feet = sides.length > 1 ? 'both feet' : `the ${first.side} foot`
  const soon = first.on < deliveryOn
  return [
    {
      id: 'refit',
      on: soon ? deliveryOn : first.on,
      wording: {
        therapist: soon
          ? `Refit: ${feet} may have outgrown the size before delivery: measure again before ordering.`
          : `Refit: ${feet} probably outgrown by now: measure and size again.`,
        family: `By about now your child may have grown out of the supports for ${feet}, so we measure again.`,
      },
    },
  ]
}
