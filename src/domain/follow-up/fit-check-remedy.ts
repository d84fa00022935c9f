import type { Wording } from '../plan/fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { tenths } from '../wording.ts'

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
  readonly wording: Wording
}

/**
 * What is done about an item of the fit check that was answered with no?
 *
 * Undefined for an item that is no yes-no item of the fit check.
 *
 * @see SOURCES orthosis-leaflets, front-edge-letter-2012, memory, common-practice, as the items say
 */
export function remedyOfNo(id: string): Remedy | undefined {
  return NO[id]
}

const NO: Readonly<Record<string, Remedy>> = {
  'heel-fully-back-and-down': {
    adjustment: { what: 'heel', direction: 'seat-again', mm: 'unknown' },
    wording: {
      therapist:
        'the heel is not fully back and down: open all straps, seat the heel with the knee bent, close the ankle strap first; if it still does not go down, review shape and size',
      family:
        'the heel is not all the way down. Open the straps, bend the knee, push the heel back and down, and close the ankle strap first. If it still does not work, leave it off and tell us.',
    },
  },
  'ankle-bones-free': {
    adjustment: { what: 'upper-edge', direction: 'ease', mm: 'unknown' },
    wording: {
      therapist:
        'an ankle bone is under pressure: flare or lower the upper edge there before it is worn again',
      family:
        'something presses on the ankle bone. Please leave it off until we have made more room there.',
    },
  },
  'no-edge-past-metatarsal-heads': {
    adjustment: { what: 'sole-edge', direction: 'take-off', mm: 'unknown' },
    wording: {
      therapist:
        'the sole reaches past the metatarsal heads: mark them on the device and cut it back behind them',
      family:
        'the sole is too long, so the toes cannot bend. We shorten it; please do not cut it yourself.',
    },
  },
  'floor-to-stand-and-back': {
    adjustment: { what: 'moving', direction: 'compare-barefoot', mm: 'unknown' },
    wording: {
      therapist:
        'the child does not get from the floor to standing and back with the devices on: look at it barefoot; when it does so barefoot, the devices stay off until they are reviewed',
      family:
        'your child does not get up and down with them on. Try it barefoot. If that goes better, leave them off and tell us.',
    },
  },
}

/**
 * What is done about a closure or an edge that lies outside its tolerance?
 *
 * Undefined for an item that is not measured in mm. mm are counted to the target, not to the limit:
 * who cuts, cuts to where it belongs. What was cut off cannot be put back.
 *
 * @param mm as answered, outside the tolerance of the item
 * @see common practice; targets of the rule set
 */
export function remedyOfMm(id: string, mm: number, { sizing }: RuleSet): Remedy | undefined {
  if (id === 'closure-gap') return closure(mm, sizing.closureGapMm)
  if (id === 'medial-trim-line')
    return edge('medial', { mm, target: sizing.medialClearanceMm, from: 'first metatarsal head' })
  if (id === 'lateral-trim-line')
    return edge('lateral', { mm, target: sizing.lateralClearanceMm, from: 'fifth-toe sulcus' })
  return undefined
}

function closure(gap: number, target: number): Remedy {
  if (gap < target) {
    const mm = target - gap
    const state = gap < 0 ? `overlaps by ${tenths(-gap)} mm` : `stands ${tenths(gap)} mm open`
    return {
      adjustment: { what: 'closure-edges', direction: 'take-off', mm },
      wording: {
        therapist: `the closure ${state}: take ${tenths(mm)} mm off its edges for a gap of ${target} mm`,
        family:
          'the gap over the top of the foot is too narrow to close it snugly. We trim the edges; please tell us.',
      },
    }
  }
  const mm = gap - target
  return {
    adjustment: { what: 'size', direction: 'larger', mm },
    wording: {
      therapist: `the closure stands ${tenths(gap)} mm open, ${tenths(mm)} mm more than the ${target} mm it should: a larger size`,
      family:
        'the gap over the top of the foot is too wide. It may need a larger size; please tell us.',
    },
  }
}

function edge(
  side: 'medial' | 'lateral',
  { mm, target, from }: { readonly mm: number; readonly target: number; readonly from: string },
): Remedy {
  const what = side === 'medial' ? 'medial-edge' : 'lateral-edge'
  const toes = side === 'medial' ? 'big-toe' : 'little-toe'
  if (mm < target)
    return {
      adjustment: { what, direction: 'take-off', mm: target - mm },
      wording: {
        therapist: `the ${side} edge ends ${tenths(mm)} mm short of the ${from}: take ${tenths(target - mm)} mm off, to end ${target} mm short of it`,
        family: `the front edge on the ${toes} side is too long. We shorten it; please do not cut it yourself.`,
      },
    }
  return {
    adjustment: { what, direction: 'longer', mm: mm - target },
    wording: {
      therapist: `the ${side} edge ends ${tenths(mm)} mm short of the ${from}, ${tenths(mm - target)} mm too far back: a longer plate, nothing is cut`,
      family: `the front edge on the ${toes} side is too short. It may need another one; please tell us.`,
    },
  }
}
