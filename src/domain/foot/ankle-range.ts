import type { Foot, Side } from '../child.ts'
import { evidenceOf, valueOf } from '../facts.ts'
import type { MessageKey } from '../messages/catalogues.ts'
import { type Message, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Finding, Truth } from '../truth.ts'
import { truth } from '../truth.ts'

type Limits = RuleSet['posture']

/**
 * Does the ankle bend up less than the flag (degrees, passive, knee straight)? A flag, not a diagnosis.
 *
 * `unknown` when not measured with the knee straight.
 *
 * @see SOURCES flexibility-tests: expect at least 10 degrees
 */
export function tightCalf(side: Side, foot: Foot, limits: Limits): Finding {
  const measured = { side, foot, limit: limits.ankleFlagDegrees }
  const says = (holds: Truth) => `foot-tight-calf.${holds}` as const
  return ankle({ rule: `tight-calf.${side}`, says, sources: ['flexibility-tests'] }, measured)
}

/**
 * Can the ankle not reach neutral (degrees, passive, knee straight)? Then a flexible device is not for
 * this foot.
 *
 * `unknown` when not measured with the knee straight. Source: from memory.
 */
export function fixedCalf(side: Side, foot: Foot, limits: Limits): Finding {
  const measured = { side, foot, limit: limits.ankleStopDegrees }
  const says = (holds: Truth) => `foot-fixed-calf.${holds}` as const
  return ankle({ rule: `fixed-calf.${side}`, says, sources: ['memory'] }, measured)
}

/** Which muscle is short: loss only with the knee straight, or with the knee bent too. */
export function calfRemark(foot: Foot, limits: Limits): readonly Message[] {
  const straight = valueOf(foot.ankleDorsiflexion)
  const bent = valueOf(foot.ankleDorsiflexionKneeBent)
  if (bent === undefined) return []
  if (straight === undefined && bent < limits.ankleStopDegrees)
    return [say('foot-remark.calf-knee-bent-only')]
  if (straight === undefined || straight >= limits.ankleFlagDegrees) return []
  return bent >= limits.ankleFlagDegrees
    ? [say('foot-remark.calf-gastrocnemius')]
    : [say('foot-remark.calf-achilles')]
}

interface AnkleRule {
  readonly rule: string
  readonly says: (holds: Truth) => MessageKey
  readonly sources: Finding['sources']
}

interface Ankle {
  readonly side: Side
  readonly foot: Foot
  readonly limit: number
}

function ankle({ rule, says, sources }: AnkleRule, { side, foot, limit }: Ankle): Finding {
  const evidence = evidenceOf(foot.ankleDorsiflexion)
  const degrees = valueOf(foot.ankleDorsiflexion)
  if (degrees === undefined)
    return { rule, holds: 'unknown', because: say(says('unknown'), { side }), sources, evidence }
  const holds = truth(degrees < limit)
  return { rule, holds, because: say(says(holds), { side, degrees, limit }), sources, evidence }
}
