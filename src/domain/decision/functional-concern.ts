import type { AssessedChild } from '../assessed-child.ts'
import { probabilityOfDelay } from '../development/delay-levels.ts'
import { evidenceOfAll, uniqueEvidence } from '../evidence.ts'
import { atLeast, posturalSigns } from './postural-signs.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { standardised } from '../development/standardised.ts'
import type { Tempo } from '../development/tempo.ts'
import type { Finding, Truth } from '../truth.ts'
import { anyOf, truth } from '../truth.ts'
import { listed, percentText, sentence, tenths } from '../wording.ts'

type Limits = RuleSet['suitability']
type Asked = Pick<AssessedChild, 'child' | 'asOf' | 'milestones' | 'tempo' | 'ifPreterm'>
type Delay = Omit<Finding, 'rule'>

/**
 * Does the child's function give concern: a delay, or two or more postural signs?
 *
 * Either is enough. `unknown` when neither is certain and one is open. Common practice; the limits are
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
  const count = `Postural signs: ${named('yes').length} that count, ${named('unknown').length} not known, ${limits.posturalSignsNeeded} needed`
  const which = named('yes').length > 0 ? ` (${listed(named('yes'))})` : ''
  return {
    rule: 'functional-concern',
    holds: anyOf([delay.holds, posture]),
    because: `${delay.because}. ${count}${which}`,
    sources: delay.sources,
    evidence: uniqueEvidence([
      delay.evidence,
      evidenceOfAll(signs.map(({ recorded }) => recorded)),
      asked.milestones.walksAlone.evidence,
    ]),
  }
}

/**
 * Is the gross motor delay large enough for concern?
 *
 * A standardised result, used as given, takes precedence over the estimate from milestones. `unknown`
 * when gestation is not recorded and the answer turns on it, when neither exists, after a loss of skills, and at the ceiling unless the upper bound answers.
 */
export function delayConcern(
  { child, tempo, ifPreterm }: Pick<Asked, 'child' | 'tempo' | 'ifPreterm'>,
  limits: Limits,
): Delay {
  const recorded = child.standardised
  if (recorded === 'unknown') {
    const { atTerm, early, differ } = atBothEnds({ tempo, ifPreterm }, limits)
    if (!differ) return atTerm
    const because = `Gestational age is not recorded and the answer turns on it. If born at term: ${atTerm.because}. If born early: ${early.because}`
    return { ...atTerm, holds: 'unknown', because }
  }
  const { z, percentDelay, text } = standardised(recorded.value)
  const late =
    (z !== undefined && z <= limits.standardisedZ) ||
    (percentDelay !== undefined && percentDelay >= limits.delayPercent)
  return {
    holds: z === undefined && percentDelay === undefined ? 'unknown' : truth(late),
    because: `${sentence(text)}; concern from ${limits.standardisedZ} SD or ${limits.delayPercent} % delay`,
    sources: ['common-practice'],
    evidence: [recorded.evidence],
  }
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
  const found = (holds: Truth, because: string): Delay => ({ holds, because, sources, evidence })
  if (tempo.state === 'estimated') {
    const probability = probabilityOfDelay(limits.delayPercent, tempo)
    const needed = percentText(limits.delayProbability)
    const because = `The probability of a milestone delay of ${limits.delayPercent} % or more is ${percentText(probability)}; concern from ${needed}`
    return found(truth(probability >= limits.delayProbability), because)
  }
  const bound = tempo.delayUpperBoundPercent
  if (bound !== undefined && bound < limits.delayPercent)
    return found(
      'no',
      `A milestone delay above ${tenths(bound)} % is unlikely; concern from ${limits.delayPercent} %`,
    )
  return found('unknown', 'The delay cannot be estimated from milestones')
}
