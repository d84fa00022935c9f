import { addDays, type CivilDate } from '../calendar.ts'
import type { Child, Side } from '../child.ts'
import type { RefitForecast } from './growth.ts'
import { warning } from './measurement-doubts.ts'
import { day, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Selection } from './size-selection.ts'
import { DOWN_SYNDROME_FEET_2022 } from '../tables/down-syndrome-feet-2022.ts'
import { FOOT_LENGTH_CURVE } from '../tables/foot-length-curve.ts'
import type { Finding } from '../truth.ts'

interface SizeInTime {
  readonly selection: Selection
  readonly forecast: RefitForecast | 'unknown'
  readonly side: Side
  readonly asOf: CivilDate
}

/**
 * Will the chosen size be outgrown soon after it is delivered, or can that not be told?
 *
 * Warns of less room than the reserve in mm and of a likeliest day within the last follow-up week of
 * wear. `unknown` when there is no forecast: measured at an age outside the growth curve.
 *
 * @see FOOT_LENGTH_CURVE; reserve and weeks are judgements of the rule set
 */
export function growthWarnings(
  { selection, forecast, side, asOf }: SizeInTime,
  rules: RuleSet,
): readonly Finding[] {
  const room = selection.room ?? 0
  const reserve = rules.sizing.growthReserveMm
  const short =
    room < reserve
      ? [
          warning(`growth-room.${side}`, {
            because: say('device-growth.little-room', { room, reserve }),
          }),
        ]
      : []
  if (forecast === 'unknown') {
    const { fromMonths, toMonths } = FOOT_LENGTH_CURVE
    const because = say('device-refit.unknown', { fromMonths, toMonths })
    return [...short, warning(`refit-unknown.${side}`, { because, holds: 'unknown' })]
  }
  const weeks = Math.max(...rules.fitting.followUpWeeks)
  const early = addDays(asOf, rules.fitting.deliveryAfterDays + weeks * 7)
  const { median, evidence } = forecast
  if (median === undefined || median > early) return short
  const because = say('device-refit.soon', { on: day(median), weeks })
  return [...short, warning(`refit-soon.${side}`, { because, evidence })]
}

/**
 * Do the feet of this child probably have other proportions than the chart is made for?
 *
 * Said when Down syndrome is coded on an active condition; nothing is said otherwise. In mm.
 *
 * @see DOWN_SYNDROME_FEET_2022
 */
export function downSyndrome(child: Child, side: Side): readonly Finding[] {
  const diagnosis = child.diagnoses['down-syndrome']
  if (diagnosis === undefined) return []
  const { lengthForHeight, horizontalWidth, instepGirth, source } = DOWN_SYNDROME_FEET_2022
  const because = say('device-proportions.down-syndrome', {
    shorter: -lengthForHeight.mean,
    wider: horizontalWidth.mean,
    instep: instepGirth.mean,
  })
  const reason = { because, sources: [source], evidence: [diagnosis.evidence] }
  return [warning(`down-syndrome-dimensions.${side}`, reason)]
}
