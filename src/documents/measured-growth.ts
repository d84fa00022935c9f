import type { CivilDate } from '../domain/calendar.ts'
import type { Side } from '../domain/child.ts'
import { day, type Message, say } from '../domain/messages/message.ts'
import type { DocumentFacts } from './document-facts.ts'

/** What measures of a foot say of its growth, mm; a difference is stated of measures taken in the same way only. */
export type MeasuredGrowth =
  | Grown
  | { readonly state: 'not-measured' }
  | { readonly state: 'compared-apart' }

interface Grown {
  readonly state: 'since-fitting' | 'between-measures'
  readonly from: Measure
  readonly to: Measure
}

interface Measure {
  readonly mm: number
  readonly on: CivilDate
}

/**
 * How much has a foot grown since the device in use was fitted, or, without one, between its first and its last
 * measure? In mm, as measured: nothing is computed where the later measure is missing.
 */
export function measuredGrowth(
  { triage, fitting }: Pick<DocumentFacts, 'triage' | 'fitting'>,
  side: Side,
): MeasuredGrowth {
  const lengths = triage.child.feet[side].measurements['foot-length'].filter(
    ({ on }) => on <= triage.asOf,
  )
  const before =
    fitting === undefined ? lengths[0] : lengths.findLast(({ on }) => on <= fitting.deliveredOn)
  const last = lengths.at(-1)
  if (before === undefined || last === undefined || last.on <= before.on)
    return { state: 'not-measured' }
  if (before.value.loading !== last.value.loading) return { state: 'compared-apart' }
  return {
    state: fitting === undefined ? 'between-measures' : 'since-fitting',
    from: { mm: before.value.mm, on: before.on },
    to: { mm: last.value.mm, on: last.on },
  }
}

export const isMeasured = (growth: MeasuredGrowth): growth is Grown =>
  growth.state === 'since-fitting' || growth.state === 'between-measures'

export function growthText(growth: MeasuredGrowth, side: Side): Message {
  if (!isMeasured(growth)) return say(`paper-growth.${growth.state}`, { side })
  const { from, to, state } = growth
  return say(`paper-growth.${state}`, {
    side,
    grown: to.mm - from.mm,
    from: from.mm,
    to: to.mm,
    first: day(from.on),
    last: day(to.on),
  })
}
