import type { ChangeAfterFitting } from './change-after-fitting.ts'
import type { VisitFinding } from './follow-up.ts'
import { type Message, percent, say, together } from '../messages/message.ts'
import { type SinceFitting, type SkillsSinceFitting, skillTerm } from './new-since-fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { allOf, anyOf, not, type Truth, truth } from '../truth.ts'

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
  const finding = (holds: Truth, because: Message, wording?: Message): VisitFinding => ({
    rule: 'stalled-since-fitting',
    holds,
    because,
    sources: ['common-practice', 'judgement', 'tempo-model'],
    evidence: [...new Set(all.flatMap((one) => one.finding.evidence))].toSorted(),
    ...(wording && { wording }),
  })
  if (weeks < stalledWeeks)
    return finding('no', say('stalled-since-fitting.too-early', { weeks, from: stalledWeeks }))
  const milestone = anyOf(since.milestones.map((one) => one.finding.holds))
  const holds = allOf([not(milestone), not(gainSinceFitting(found, rules))])
  if (holds === 'no') return finding('no', gained(all, change))
  return holds === 'yes'
    ? finding(
        'yes',
        say('stalled-since-fitting.no-gain', { weeks }),
        say('stalled-since-fitting.review'),
      )
    : finding('unknown', toLookFor(since), say('stalled-since-fitting.ask'))
}

function toLookFor({ milestones, skills }: SkillsSinceFitting): Message {
  const open = [
    ...milestones.filter(({ finding }) => finding.holds === 'unknown'),
    ...skills.filter(isOpen),
  ].map(({ what }) => skillTerm(what))
  return open.length === 0
    ? say('stalled-since-fitting.nothing-to-look-for')
    : say('stalled-since-fitting.look-for', { what: open })
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

function gained(all: readonly SinceFitting[], change: ChangeAfterFitting): Message {
  const what = all.filter(({ state }) => state === 'new').map((one) => skillTerm(one.what))
  return together([
    what.length === 0
      ? say('stalled-since-fitting.no-new-skill')
      : say('stalled-since-fitting.new', { what }),
    ...(change.state === 'estimated'
      ? [say('stalled-since-fitting.pace', { chance: percent(change.probabilityFaster) })]
      : []),
  ])
}
