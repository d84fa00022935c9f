import type { Wording } from './fitting.ts'
import { standingCautions } from './plan-wording.ts'
import type { Posture } from '../foot/posture.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Suitability } from '../decision/suitability.ts'
import type { Truth } from '../truth.ts'

export interface CautionFacts {
  readonly suitability: Suitability
  readonly posture: Posture
  readonly walksAlone: Truth
  readonly chartNote: string
}

/** What must be borne in mind with this plan: what concerns this child first, then what always holds. */
export function cautions(facts: CautionFacts, rules: RuleSet): readonly Wording[] {
  return [
    ...physicianFirst(facts.suitability),
    ...beforeWalking(facts.walksAlone, rules),
    ...otherFoot(facts.posture),
    ...standingCautions(facts.chartNote),
  ]
}

function physicianFirst({ redFlags }: Suitability): readonly Wording[] {
  const present = redFlags
    .filter(({ holds }) => holds === 'yes')
    .map(({ rule }) => rule.replaceAll('-', ' '))
  if (present.length === 0) return []
  return [
    {
      therapist: `A physician sees the child first: ${present.join(', ')}. Nothing is ordered before.`,
      family: 'Before anything is ordered, we would like a doctor to have a look at your child.',
    },
  ]
}

function beforeWalking(walksAlone: Truth, rules: RuleSet): readonly Wording[] {
  if (walksAlone === 'yes') return []
  const { trialReviewWeeksFrom: from, trialReviewWeeksTo: to } = rules.suitability
  const known = walksAlone === 'no'
  const therapist = known
    ? 'The child does not walk alone yet.'
    : 'Whether the child walks alone is not on record; if not, this holds.'
  const family = known
    ? 'Your child does not walk alone yet.'
    : 'If your child does not walk alone yet:'
  return [
    {
      therapist: `${therapist} The only randomised trial before walking (n 17, Down syndrome) found lower gross motor scores one month after walking onset with orthoses; benefit was shown in children who already walk. A limited trial: barefoot play protected, review at ${from}-${to} weeks.`,
      family: `${family} We do not know whether supports help at this stage, and one small study found that they may not. So this is a careful try, with plenty of barefoot play, and we look at it together after ${from} to ${to} weeks.`,
    },
  ]
}

/** Only the feet that pronate excessively get a device; what is done with the other is said, not assumed. */
function otherFoot({ left, right }: Posture): readonly Wording[] {
  const spared = [left, right].filter(
    ({ excessivePronation }) => excessivePronation.holds !== 'yes',
  )
  return spared.map(({ side, excessivePronation }) => ({
    therapist:
      excessivePronation.holds === 'unknown'
        ? `No device is proposed for the ${side} foot: whether it pronates excessively is not known; assess it. Common practice often fits both feet.`
        : `No device is proposed for the ${side} foot: it does not pronate excessively. Common practice often fits both feet; the orthotist decides.`,
    family: `We suggest a support for one foot only. Your orthotist will look at the ${side} foot too.`,
  }))
}
