import type { Side } from '../child.ts'
import type { FitCheckItem } from './fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'

type Item = Omit<FitCheckItem, 'side'>

/**
 * What is looked at when the devices are handed over and at every visit, per foot that gets one?
 *
 * Tolerances are inclusive, in the unit of the answer; a yes-no item is right when it is yes. What
 * was not checked stays open, it never passes.
 */
export function fitCheck(sides: readonly Side[], rules: RuleSet): readonly FitCheckItem[] {
  const perFoot = sides.flatMap((side) =>
    [...seating(side), ...edges(side, rules), ...skin(side, rules)].map((item) => ({
      ...item,
      side,
    })),
  )
  return [...perFoot, moving]
}

const seating = (side: Side): readonly Item[] => [
  {
    id: 'heel-fully-back-and-down',
    question: {
      therapist: `${named(side)}: is the heel fully back and down before the straps are closed?`,
      family: `${named(side)} foot: is the heel all the way back and down before you close the straps?`,
    },
    answer: 'yes-no',
    sources: ['orthosis-leaflets'],
  },
  {
    id: 'ankle-bones-free',
    question: {
      therapist: `${named(side)}: are both ankle bones free of pressure, with the upper edge just above them?`,
      family: `${named(side)} foot: are the two bony bumps at the ankle free, with nothing pressing on them?`,
    },
    answer: 'yes-no',
    sources: ['memory'],
  },
]

function edges(side: Side, rules: RuleSet): readonly Item[] {
  const { closureGapMm, closureGapToleranceMm, trimToleranceMm } = rules.sizing
  const { medialClearanceMm, lateralClearanceMm } = rules.sizing
  return [
    {
      id: 'closure-gap',
      question: {
        therapist: `${named(side)}: how far do the edges of the closure stand apart at the instep, in mm?`,
        family: `${named(side)} foot: how wide is the gap over the top of the foot, in millimetres? About a finger's width is right.`,
      },
      answer: 'mm',
      tolerance: around(closureGapMm, closureGapToleranceMm),
      sources: ['common-practice', 'judgement'],
    },
    {
      id: 'medial-trim-line',
      question: {
        therapist: `${named(side)}: how many mm behind the first metatarsal head does the inner front edge end?`,
        family: `${named(side)} foot, big-toe side: how many millimetres behind the ball of the foot does the front edge end?`,
      },
      answer: 'mm',
      tolerance: around(medialClearanceMm, trimToleranceMm),
      sources: ['common-practice', 'judgement'],
    },
    {
      id: 'lateral-trim-line',
      question: {
        therapist: `${named(side)}: how many mm short of the fifth-toe sulcus does the outer front edge end, containing the fifth metatarsal head?`,
        family: `${named(side)} foot, little-toe side: how many millimetres before the crease of the little toe does the front edge end?`,
      },
      answer: 'mm',
      tolerance: around(lateralClearanceMm, trimToleranceMm),
      sources: ['common-practice', 'judgement'],
    },
    {
      id: 'no-edge-past-metatarsal-heads',
      question: {
        therapist: `${named(side)}: does the sole end behind the metatarsal heads so that all toes bend freely, the outer wall alone reaching to the sulcus?`,
        family: `${named(side)} foot: can all the toes bend freely, with no hard edge under them?`,
      },
      answer: 'yes-no',
      sources: ['front-edge-letter-2012'],
    },
  ]
}

function skin(side: Side, rules: RuleSet): readonly Item[] {
  const { rednessTellMinutes: tell, rednessStopMinutes: stop } = rules.fitting
  return [
    {
      id: 'redness',
      question: {
        therapist: `${named(side)}: how many minutes after taking the device off is redness still seen? Over ${tell}: tell the clinic; over ${stop}: stop and call.`,
        family: `${named(side)} foot: how many minutes does any redness stay after you take it off? If more than ${tell}, please tell us. If more than ${stop}, leave it off and call us.`,
      },
      answer: 'minutes',
      tolerance: { min: 0, max: tell },
      sources: ['orthosis-leaflets'],
    },
  ]
}

const moving: FitCheckItem = {
  id: 'floor-to-stand-and-back',
  question: {
    therapist: 'Does the child get from the floor to standing and back with the devices on?',
    family: 'Can your child get up from the floor and down again with them on?',
  },
  answer: 'yes-no',
  sources: ['common-practice'],
}

function around(target: number, tolerance: number) {
  return { min: Math.max(target - tolerance, 0), max: target + tolerance }
}

const named = (side: Side): string => (side === 'left' ? 'Left' : 'Right')
