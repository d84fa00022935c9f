import type { SizeChart } from '../device/sizing.ts'
import { standingCautions } from './plan-wording.ts'
import type { Posture } from '../foot/posture.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Suitability } from '../decision/suitability.ts'
import type { Truth } from '../truth.ts'

export interface CautionFacts {
  readonly suitability: Suitability
  readonly posture: Posture
  readonly walksAlone: Truth
  readonly chart: Pick<SizeChart, 'note'>
}

/** What must be borne in mind with this plan: what concerns this child first, then what always holds. */
export function cautions(facts: CautionFacts, rules: RuleSet): readonly Message[] {
  return [
    ...physicianFirst(facts.suitability),
    ...beforeWalking(facts.walksAlone, rules),
    ...otherFoot(facts.posture),
    ...standingCautions(facts.chart),
  ]
}

function physicianFirst({ redFlags }: Suitability): readonly Message[] {
  const present = redFlags.filter(({ holds }) => holds === 'yes')
  if (present.length === 0) return []
  const because = together(present.map((flag) => flag.because))
  return [say('plan-caution.physician-first', { because })]
}

function beforeWalking(walksAlone: Truth, rules: RuleSet): readonly Message[] {
  if (walksAlone === 'yes') return []
  const { trialReviewWeeksFrom: from, trialReviewWeeksTo: to } = rules.suitability
  return [
    together([
      say(`plan-walks-alone.${walksAlone}`),
      say('plan-caution.before-walking', { from, to }),
    ]),
  ]
}

/** Only the feet that pronate excessively get a device; what is done with the other is said, not assumed. */
function otherFoot({ left, right }: Posture): readonly Message[] {
  return [left, right].flatMap(({ side, excessivePronation: { holds } }) =>
    holds === 'yes' ? [] : [say(`plan-other-foot.${holds}`, { side })],
  )
}
