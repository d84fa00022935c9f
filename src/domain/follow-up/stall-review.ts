import type { ChangeAfterFitting } from './change-after-fitting.ts'
import type { VisitFinding } from './follow-up.ts'
import type { SinceFitting, SkillsSinceFitting } from './new-since-fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { allOf, anyOf, not, type Truth, truth } from '../truth.ts'
import { listed, percentText, sentence, tenths } from '../wording.ts'

/** What a visit has found of the child's development since the fitting. */
export interface DevelopmentSince {
  /** Since delivery, not rounded. */
  readonly weeks: number
  readonly since: SkillsSinceFitting
  readonly change: ChangeAfterFitting
}

/**
 * Has nothing been gained with the device, so that it should be reviewed?
 *
 * No new milestone and no gain, from the weeks of the rule set after delivery on; not asked before. A
 * gain is a described skill that is new, or a pace that is faster with the probability of the rule
 * set. When the pace cannot be told – a child who walks has no milestone left – the described skills
 * that were missing tell: no gain when each was looked for again and none is there.
 *
 * @see judgement of the rule set
 */
export function stalledSinceFitting(found: DevelopmentSince, rules: RuleSet): VisitFinding {
  const { weeks, since, change } = found
  const { stalledWeeks } = rules.followUp
  const all = [...since.milestones, ...since.skills]
  const finding = (holds: Truth, because: string, family?: string): VisitFinding => ({
    rule: 'stalled-since-fitting',
    holds,
    because,
    sources: ['common-practice', 'judgement', 'tempo-model'],
    evidence: [...new Set(all.flatMap((one) => one.finding.evidence))].toSorted(),
    ...(family !== undefined && { wording: { therapist: `${sentence(because)}.`, family } }),
  })
  const when = `${tenths(weeks)} weeks after delivery`
  if (weeks < stalledWeeks) return finding('no', `${when}; asked from ${stalledWeeks} weeks on`)
  const milestone = anyOf(since.milestones.map((one) => one.finding.holds))
  const holds = allOf([not(milestone), not(gainSinceFitting(found, rules))])
  if (holds === 'no') return finding('no', gained(all, change))
  return holds === 'yes'
    ? finding('yes', `${when} ${REVIEW}`, REVIEW_FAMILY)
    : finding('unknown', toLookFor(since), ASK_FAMILY)
}

const REVIEW =
  'no new milestone and no gain is shown: review fit, wear time and whether the device is still wanted; compare with and without it'
const REVIEW_FAMILY =
  'We have not seen anything new yet. That happens. Let us look together at whether the supports help your child, or whether it does as well without them.'
const ASK_FAMILY = 'Please tell us what your child can do now that it could not do before.'

function toLookFor({ milestones, skills }: SkillsSinceFitting): string {
  const open = [
    ...milestones.filter(({ finding }) => finding.holds === 'unknown'),
    ...skills.filter(isOpen),
  ].map(({ what }) => what.replaceAll('-', ' '))
  return open.length === 0
    ? 'no milestone is left, and no described skill was looked for that the child could still gain'
    : `whether something was gained is not known; look for ${listed(open)}`
}

/** Has the child gained anything besides a milestone since the fitting? */
export function gainSinceFitting(
  { since, change }: Pick<DevelopmentSince, 'since' | 'change'>,
  { followUp }: RuleSet,
): Truth {
  if (since.skills.some(({ state }) => state === 'new')) return 'yes'
  if (change.state === 'estimated')
    return truth(change.probabilityFaster >= followUp.gainProbability)
  const missing = since.skills.filter((one) => one.state === 'not-yet' || isOpen(one))
  return missing.length === 0 ? 'unknown' : anyOf(missing.map((one) => one.finding.holds))
}

/** Whether somebody has to look: a described skill that nobody ever looked at is not asked for. */
const isOpen = ({ finding, state }: SinceFitting): boolean =>
  state === 'unclear' || (state === 'unknown' && finding.evidence.length > 0)

function gained(all: readonly SinceFitting[], change: ChangeAfterFitting): string {
  const fresh = all.filter(({ state }) => state === 'new')
  const pace =
    change.state === 'estimated'
      ? `; faster since the fitting with a probability of ${percentText(change.probabilityFaster)}`
      : ''
  const what = fresh.map((one) => one.what.replaceAll('-', ' '))
  return `${what.length === 0 ? 'no new skill' : `new since the fitting: ${listed(what)}`}${pace}`
}
