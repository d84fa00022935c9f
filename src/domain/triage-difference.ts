import { type Side, SIDES } from './child.ts'
import type { Outcome } from './decision/suitability.ts'
import type { FootSizing } from './device/sizing.ts'
import type { Triage } from './triage.ts'
import type { Priority } from './urgency/urgency.ts'

export interface Change<T> {
  readonly from: T
  readonly to: T
}

/** What two triages of one child decide differently; what is the same is left out. */
export interface TriageDifference {
  readonly suitability?: Change<Outcome>
  readonly priority?: Change<Priority>
  /** 0 to 100, not rounded. */
  readonly urgency?: Change<number>
  /** The code of a size, or `custom` or `unknown`. */
  readonly sizes: readonly (Change<string> & { readonly side: Side })[]
}

/** As much of a triage as its decision is; the priority of one that was only kept may not be known. */
export interface Decided {
  readonly suitability: Pick<Triage['suitability'], 'outcome'>
  readonly urgency: { readonly score: number; readonly priority?: Priority }
  readonly sizing: Readonly<Record<Side, DecidedSize>>
}

export interface DecidedSize {
  readonly state: FootSizing['state']
  readonly size?: { readonly code: string }
}

/** Scores are written with so many decimals; less is no difference that anybody would see. */
const DECIMALS_OF_SCORE = 1

/**
 * In what do two triages of one child, for instance under two rule sets, come to another decision?
 *
 * Suitability, priority, score of the urgency in points, and the size of the device for each foot. Their
 * reasons may differ where the decision does not. Undefined when they decide the same.
 */
export function triageDifference(before: Decided, after: Decided): TriageDifference | undefined {
  const suitability = changed(before.suitability.outcome, after.suitability.outcome)
  const { priority: from } = before.urgency
  const { priority: to } = after.urgency
  const priority = from === undefined || to === undefined ? undefined : changed(from, to)
  const urgency = changed(before.urgency.score, after.urgency.score, shown)
  const sizes = SIDES.flatMap((side) => {
    const size = changed(sizeOf(before.sizing[side]), sizeOf(after.sizing[side]))
    return size === undefined ? [] : [{ side, ...size }]
  })
  if (sizes.length === 0 && suitability === undefined && priority === undefined && !urgency)
    return undefined
  return {
    ...(suitability === undefined ? {} : { suitability }),
    ...(priority === undefined ? {} : { priority }),
    ...(urgency === undefined ? {} : { urgency }),
    sizes,
  }
}

const shown = (score: number): string => score.toFixed(DECIMALS_OF_SCORE)

const sizeOf = ({ state, size }: DecidedSize): string =>
  state === 'sized' && size !== undefined ? size.code : state

const changed = <T>(
  from: T,
  to: T,
  seen: (value: T) => unknown = (value) => value,
): Change<T> | undefined => (seen(from) === seen(to) ? undefined : { from, to })
