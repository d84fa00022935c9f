import type { Side } from '../child.ts'
import { type Message, say } from '../messages/message.ts'
import type { FitCheckId, FitCheckItem } from '../plan/fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'

type Asked = Pick<FitCheckItem, 'id' | 'side'>

/** What has to be changed on a device, in which direction, and by how much. */
export interface Adjustment {
  readonly what:
    | 'heel'
    | 'upper-edge'
    | 'closure-edges'
    | 'size'
    | 'medial-edge'
    | 'lateral-edge'
    | 'sole-edge'
    | 'moving'
  readonly direction: 'seat-again' | 'ease' | 'take-off' | 'larger' | 'longer' | 'compare-barefoot'
  /** Millimetres to the target; unknown when the item is not measured in mm. */
  readonly mm: number | 'unknown'
}

export interface Remedy {
  readonly adjustment: Adjustment
  readonly wording: Message
}

/**
 * What is done about an item of the fit check that was answered with no?
 *
 * Undefined for an item that is no yes-no item of the fit check.
 *
 * @see SOURCES orthosis-leaflets, front-edge-letter-2012, memory, common-practice, as the items say
 */
export function remedyOfNo({ id, side }: Asked): Remedy | undefined {
  if (!isYesNo(id)) return undefined
  return {
    adjustment: { ...NO[id], mm: 'unknown' },
    wording: say(`remedy.${id}`, { side: side ?? 'child' }),
  }
}

const NO = {
  'heel-fully-back-and-down': { what: 'heel', direction: 'seat-again' },
  'ankle-bones-free': { what: 'upper-edge', direction: 'ease' },
  'no-edge-past-metatarsal-heads': { what: 'sole-edge', direction: 'take-off' },
  'floor-to-stand-and-back': { what: 'moving', direction: 'compare-barefoot' },
} as const satisfies Partial<Record<FitCheckId, Omit<Adjustment, 'mm'>>>

const isYesNo = (id: FitCheckId): id is keyof typeof NO => id in NO

/**
 * What is done about a closure or an edge that lies outside its tolerance?
 *
 * Undefined for an item that is not measured in mm. mm are counted to the target, not to the limit:
 * who cuts, cuts to where it belongs. What was cut off cannot be put back.
 *
 * @param mm as answered, outside the tolerance of the item
 * @see common practice; targets of the rule set
 */
export function remedyOfMm(item: Asked, mm: number, { sizing }: RuleSet): Remedy | undefined {
  const measured = { side: item.side ?? ('child' as const), mm }
  switch (item.id) {
    case 'closure-gap':
      return closure({ ...measured, target: sizing.closureGapMm })
    case 'medial-trim-line':
      return edge('medial', { ...measured, target: sizing.medialClearanceMm })
    case 'lateral-trim-line':
      return edge('lateral', { ...measured, target: sizing.lateralClearanceMm })
    default:
      return undefined
  }
}

interface Measured {
  readonly side: Side | 'child'
  readonly mm: number
  readonly target: number
}

function closure({ side, mm, target }: Measured): Remedy {
  const change = Math.abs(mm - target)
  const values = { side, mm: Math.abs(mm), change, target }
  if (mm > target)
    return {
      adjustment: { what: 'size', direction: 'larger', mm: change },
      wording: say('remedy.closure-wide', values),
    }
  return {
    adjustment: { what: 'closure-edges', direction: 'take-off', mm: change },
    wording: say(mm < 0 ? 'remedy.closure-overlaps' : 'remedy.closure-narrow', values),
  }
}

function edge(place: 'medial' | 'lateral', { side, mm, target }: Measured): Remedy {
  const what = `${place}-edge` as const
  const change = Math.abs(mm - target)
  const values = { side, mm: Math.abs(mm), change, target }
  if (mm > target)
    return {
      adjustment: { what, direction: 'longer', mm: change },
      wording: say(`remedy.${place}-short`, values),
    }
  return {
    adjustment: { what, direction: 'take-off', mm: change },
    wording: say(`remedy.${place}-${mm < 0 ? 'past' : 'long'}`, values),
  }
}
