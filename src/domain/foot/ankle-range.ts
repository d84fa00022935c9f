import type { Foot, Side } from '../child.ts'
import { evidenceOf, valueOf } from '../facts.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Finding } from '../truth.ts'
import { truth } from '../truth.ts'
import { tenths } from '../wording.ts'

type Limits = RuleSet['posture']

/**
 * Does the ankle bend up less than the flag (degrees, passive, knee straight)? A flag, not a diagnosis.
 *
 * `unknown` when not measured with the knee straight.
 *
 * @see SOURCES flexibility-tests: expect at least 10 degrees
 */
export function tightCalf(side: Side, foot: Foot, limits: Limits): Finding {
  const limit = limits.ankleFlagDegrees
  return ankle(`tight-calf.${side}`, { side, foot, limit }, ['flexibility-tests'])
}

/**
 * Can the ankle not reach neutral (degrees, passive, knee straight)? Then a flexible device is not for
 * this foot.
 *
 * `unknown` when not measured with the knee straight. Source: from memory.
 */
export function fixedCalf(side: Side, foot: Foot, limits: Limits): Finding {
  const limit = limits.ankleStopDegrees
  return ankle(`fixed-calf.${side}`, { side, foot, limit }, ['memory'])
}

/** Which muscle is short: loss only with the knee straight, or with the knee bent too. */
export function calfRemark(foot: Foot, limits: Limits): readonly string[] {
  const straight = valueOf(foot.ankleDorsiflexion)
  const bent = valueOf(foot.ankleDorsiflexionKneeBent)
  if (bent === undefined) return []
  if (straight === undefined && bent < limits.ankleStopDegrees)
    return ['Neutral is not reached with the knee bent: measure with the knee straight']
  if (straight === undefined || straight >= limits.ankleFlagDegrees) return []
  return bent >= limits.ankleFlagDegrees
    ? ['Loss only with the knee straight points to gastrocnemius']
    : ['Loss with the knee straight and bent points to the Achilles tendon']
}

function ankle(
  rule: string,
  { side, foot, limit }: { side: Side; foot: Foot; limit: number },
  sources: Finding['sources'],
): Finding {
  const evidence = evidenceOf(foot.ankleDorsiflexion)
  const value = valueOf(foot.ankleDorsiflexion)
  if (value === undefined) {
    const because = `Dorsiflexion of the ${side} ankle, knee straight, is not recorded`
    return { rule, holds: 'unknown', because, sources, evidence }
  }
  const because = `Dorsiflexion of the ${side} ankle, knee straight, is ${tenths(value)} degrees; the limit is ${limit}`
  return { rule, holds: truth(value < limit), because, sources, evidence }
}
