import type { AssessedChild } from '../assessed-child.ts'
import { probabilityOfDelay } from '../development/delay-levels.ts'
import { evidenceOfAll, uniqueEvidence } from '../evidence.ts'
import { type Message, percent, say, together } from '../messages/message.ts'
import { atLeast, posturalSigns } from './postural-signs.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { standardised } from '../development/standardised.ts'
import type { Tempo } from '../development/tempo.ts'
import type { Finding, Truth } from '../truth.ts'
import { anyOf, truth, truthOf } from '../truth.ts'

type Limits = RuleSet['suitability']
type Asked = Pick<AssessedChild, 'child' | 'asOf' | 'milestones' | 'tempo' | 'ifPreterm'>
type Delay = Omit<Finding, 'rule'>

/**
 * Does the child's function give concern: a delay, two or more postural signs, or a skill that was lost?
 *
 * Either is enough; a loss has no pace that could tell a delay, and is concern enough (judgement). `unknown` when neither is certain and one is open. Common practice; the limits are
 * in the rule set.
 */
export function functionalConcern(asked: Asked, limits: Limits): Finding {
  const delay = delayConcern(asked, limits)
  const signs = posturalSigns(asked, limits.gaitSignMonthsAfterWalking)
  const posture = atLeast(
    limits.posturalSignsNeeded,
    signs.map(({ holds }) => holds),
  )
  const named = (holds: Truth) =>
    signs.filter((sign) => sign.holds === holds).map(({ words }) => words)
  const counted = say('postural-signs.counted', {
    holds: posture,
    count: named('yes').length,
    open: named('unknown').length,
    needed: limits.posturalSignsNeeded,
    signs: named('yes'),
  })
  const sign = asked.child.redFlags['loss-of-skills']
  const lost = anyOf([asked.milestones.regression.holds, truthOf(sign)]) === 'yes'
  return {
    rule: 'functional-concern',
    holds: lost ? 'yes' : anyOf([delay.holds, posture]),
    because: together([...(lost ? [say('functional-concern.lost')] : []), delay.because, counted]),
    sources: delay.sources,
    evidence: uniqueEvidence([
      delay.evidence,
      ...(lost ? [asked.milestones.regression.evidence, evidenceOfAll([sign])] : []),
      evidenceOfAll(signs.map(({ recorded }) => recorded)),
      asked.milestones.walksAlone.evidence,
    ]),
  }
}

/**
 * Is the gross motor delay large enough for concern?
 *
 * A standardised result, used as given, takes precedence over the estimate from milestones. `unknown`
 * when gestation is not recorded and the answer turns on it, when neither exists, after a loss of skills,
 * and when all was there at the first look unless the upper bound answers. After the ceiling age the ages
 * at which the milestones came answer.
 */
export function delayConcern(
  { child, tempo, ifPreterm }: Pick<Asked, 'child' | 'tempo' | 'ifPreterm'>,
  limits: Limits,
): Delay {
  const recorded = child.standardised
  if (recorded === 'unknown') {
    const { atTerm, early, differ } = atBothEnds({ tempo, ifPreterm }, limits)
    if (!differ) return atTerm
    const because = say('delay-concern.gestation-open', {
      atTerm: atTerm.because,
      early: early.because,
    })
    return { ...atTerm, holds: 'unknown', because }
  }
  const { z, percentDelay, because } = standardised(recorded.value)
  const late =
    (z !== undefined && z <= limits.standardisedZ) ||
    (percentDelay !== undefined && percentDelay >= limits.delayPercent)
  const holds = z === undefined && percentDelay === undefined ? 'unknown' : truth(late)
  const compared = say('delay-concern.standardised', {
    holds,
    z: limits.standardisedZ,
    percent: limits.delayPercent,
  })
  return {
    holds,
    because: together([because, compared]),
    sources: ['common-practice'],
    evidence: [recorded.evidence],
  }
}

/**
 * Do the test and the milestones disagree about the delay? The test counts, and that they disagree is said;
 * undefined when they agree, or one of them says nothing.
 */
export function testAgainstMilestones(
  asked: Pick<Asked, 'child' | 'tempo' | 'ifPreterm'>,
  limits: Limits,
): Message | undefined {
  if (asked.child.standardised === 'unknown') return undefined
  const { atTerm, early, differ } = atBothEnds(asked, limits)
  const test = delayConcern(asked, limits).holds
  const milestones = differ ? 'unknown' : atTerm.holds
  if (test === 'unknown' || milestones === 'unknown' || test === milestones) return undefined
  return say('disagreement.test-and-milestones', { test, milestones: early.because })
}

/** Does the delay answer differently for a child born at term and one born early? Then gestation is asked for. */
export const turnsOnGestation = (
  { child, ...asked }: Pick<Asked, 'child' | 'tempo' | 'ifPreterm'>,
  limits: Limits,
): boolean => child.standardised === 'unknown' && atBothEnds(asked, limits).differ

/** The delay if born at term, and if born as early as is reckoned with; the same where gestation is known. */
function atBothEnds(
  {
    tempo,
    ifPreterm,
  }: { readonly tempo: Tempo; readonly ifPreterm?: Asked['ifPreterm'] | undefined },
  limits: Limits,
) {
  const atTerm = estimatedDelay(tempo, limits)
  const early = ifPreterm === undefined ? atTerm : estimatedDelay(ifPreterm.tempo, limits)
  return { atTerm, early, differ: early.holds !== atTerm.holds }
}

function estimatedDelay(tempo: Tempo, limits: Limits): Delay {
  const { sources, evidence } = tempo.finding
  const found = (holds: Truth, because: Message): Delay => ({ holds, because, sources, evidence })
  const known = tempo.state === 'estimated' ? tempo : tempo.whenAttained
  if (known !== undefined) {
    const probability = probabilityOfDelay(limits.delayPercent, known)
    const holds = truth(probability >= limits.delayProbability)
    const because = say(`delay-concern.${known === tempo ? 'probability' : 'when-attained'}`, {
      holds,
      percent: limits.delayPercent,
      chance: percent(probability),
      needed: percent(limits.delayProbability),
    })
    return found(holds, because)
  }
  const bound = tempo.state === 'estimated' ? undefined : tempo.delayUpperBoundPercent
  if (bound !== undefined && bound < limits.delayPercent)
    return found(
      'no',
      say('delay-concern.bounded', { bound: Math.max(bound, 0), percent: limits.delayPercent }),
    )
  return found('unknown', say('delay-concern.not-estimable'))
}
