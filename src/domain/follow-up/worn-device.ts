import { type CivilDate, daysBetween } from '../calendar.ts'
import type { Side } from '../child.ts'
import type { Recorded } from '../facts.ts'
import type { VisitFinding } from './follow-up.ts'
import { say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { DeviceSize } from '../device/sizing.ts'
import { anyOf, type Truth, truth } from '../truth.ts'

/** Any of them, and the device comes off. */
export const STOP_SIGNS = [
  'swelling',
  'pain',
  'rash',
  'blister',
  'broken-skin',
  'broken-device',
] as const
export type StopSign = (typeof STOP_SIGNS)[number]

/** Any of them, and the size is reviewed. */
export const SIZE_SIGNS = ['toes-at-front-edge', 'marks-in-new-place'] as const
export type SizeSign = (typeof SIZE_SIGNS)[number]

/** A device that was delivered, and what was looked for on its foot. */
export interface WornDevice {
  readonly side: Side
  /** Unknown when it was made to measure, or nobody recorded it. */
  readonly size: DeviceSize | 'unknown'
  /** Its own day: the device of the other foot may have come later. */
  readonly deliveredOn?: CivilDate
  readonly signs: Readonly<Record<StopSign | SizeSign, Recorded<boolean>>>
}

export interface VisitDays {
  readonly deliveredOn: CivilDate
  readonly asOf: CivilDate
}

/** What is seen on a foot counts from the delivery of its own device. */
export const daysOf = (
  { deliveredOn }: Pick<WornDevice, 'deliveredOn'>,
  days: VisitDays,
): VisitDays => (deliveredOn === undefined ? days : { ...days, deliveredOn })

/**
 * Is a sign there at the visit?
 *
 * Seen since the delivery it stays until somebody records that it is gone. Not seen counts when it
 * was looked for on the day or in the days of the rule set before it; else it is unknown, as is all
 * that was recorded before the delivery or after the visit.
 */
export function signAt(
  sign: Recorded<boolean>,
  { deliveredOn, asOf }: VisitDays,
  { followUp }: RuleSet,
): Truth {
  if (sign === 'unknown' || sign.on < deliveredOn || sign.on > asOf) return 'unknown'
  if (sign.value) return 'yes'
  return daysBetween(sign.on, asOf) <= followUp.lookDays ? truth(false) : 'unknown'
}

/**
 * Must the device come off: is the skin harmed, does it hurt, or is it broken?
 *
 * @see SOURCES orthosis-leaflets
 */
export function stopSign(device: WornDevice, days: VisitDays, rules: RuleSet): VisitFinding {
  const { side, signs } = device
  const own = daysOf(device, days)
  const found = STOP_SIGNS.map((sign) => ({ sign, holds: signAt(signs[sign], own, rules) }))
  const holds = anyOf(found.map((one) => one.holds))
  const values = {
    side,
    signs: found.filter((one) => one.holds === holds).map(({ sign }) => say(`worn-sign.${sign}`)),
  }
  const evidence = STOP_SIGNS.flatMap((sign) => {
    const recorded = signs[sign]
    return recorded === 'unknown' ? [] : [recorded.evidence]
  })
  return {
    rule: `stop-sign.${side}`,
    holds,
    because: say(`stop-sign.${holds}`, values),
    sources: ['orthosis-leaflets'],
    evidence: [...new Set(evidence)].toSorted(),
    ...(holds !== 'no' && {
      wording: say(holds === 'yes' ? 'stop-sign.stop' : 'stop-sign.look', values),
    }),
  }
}
