import type { CivilDate } from '../calendar.ts'
import type { Side } from '../child.ts'
import type { FitCheckResult } from './fit-check-result.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import {
  STOP_SIGNS,
  type StopSign,
  daysOf,
  signAt,
  type VisitDays,
  type WornDevice,
} from './worn-device.ts'

/** A reason why a device must come off now, of which people are told at once. */
export interface UrgentFinding {
  readonly sign: StopSign | 'redness'
  readonly side: Side
  /** The day on which it was seen: seen on another day it is another finding. */
  readonly on: CivilDate
  /** What was seen, and what is to be done. */
  readonly because: Message
}

export interface WornAtVisit extends VisitDays {
  readonly devices: readonly WornDevice[]
  readonly fitCheck: FitCheckResult | 'unknown'
  /** The day on which the fit check was answered. */
  readonly fitCheckOn?: CivilDate
}

/**
 * Why must a device come off at once: which sign, on which foot, seen when?
 *
 * Each stop sign that is there, and redness past the upper limit of the rule set. What is unknown is no
 * urgent finding: it is looked for, nobody is alarmed.
 *
 * @see SOURCES orthosis-leaflets
 */
export function urgentFindings(visit: WornAtVisit, rules: RuleSet): readonly UrgentFinding[] {
  return [...signsSeen(visit, rules), ...rednessTooLong(visit)]
}

const signsSeen = (visit: WornAtVisit, rules: RuleSet): UrgentFinding[] =>
  visit.devices.flatMap(({ side, signs, ...device }) =>
    STOP_SIGNS.flatMap((sign): UrgentFinding[] => {
      const recorded = signs[sign]
      if (recorded === 'unknown' || signAt(recorded, daysOf(device, visit), rules) !== 'yes')
        return []
      const values = { side, signs: [say(`worn-sign.${sign}`)] }
      const because = together([say('stop-sign.yes', values), say('stop-sign.stop', values)])
      return [{ sign, side, on: recorded.on, because }]
    }),
  )

const rednessTooLong = ({ fitCheck, fitCheckOn }: WornAtVisit): UrgentFinding[] =>
  fitCheck === 'unknown' || fitCheckOn === undefined
    ? []
    : fitCheck.items.flatMap(({ id, side, verdict, wording }) =>
        id === 'redness' && side !== undefined && verdict === 'stop'
          ? [{ sign: 'redness', side, on: fitCheckOn, because: wording }]
          : [],
      )
