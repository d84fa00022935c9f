import type { Side } from '../child.ts'
import type { FitCheckId, FitCheckItem } from './fitting.ts'
import { type Message, say, type Values } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'

type Item = Omit<FitCheckItem, 'side' | 'question'> & { readonly values?: Values }

/**
 * What is looked at when the devices are handed over and at every visit, per foot that gets one?
 *
 * Tolerances are inclusive, in the unit of the answer; a yes-no item is right when it is yes. What
 * was not checked stays open, it never passes.
 */
export function fitCheck(sides: readonly Side[], rules: RuleSet): readonly FitCheckItem[] {
  const items = [...SEATING, ...edges(rules), redness(rules)]
  const perFoot = sides.flatMap((side) =>
    items.map(({ values, ...item }) => ({
      ...item,
      question: question(item.id, { side, ...values }),
      side,
    })),
  )
  return [...perFoot, MOVING]
}

const question = (id: FitCheckId, values?: Values): Message => say(`fit-question.${id}`, values)

const SEATING: readonly Item[] = [
  { id: 'heel-fully-back-and-down', answer: 'yes-no', sources: ['orthosis-leaflets'] },
  { id: 'ankle-bones-free', answer: 'yes-no', sources: ['memory'] },
]

function edges({ sizing }: RuleSet): readonly Item[] {
  const { closureGapMm, closureGapToleranceMm, trimToleranceMm } = sizing
  const inMm = (id: FitCheckId, tolerance: NonNullable<Item['tolerance']>): Item => ({
    id,
    answer: 'mm',
    tolerance,
    sources: ['common-practice', 'judgement'],
  })
  return [
    inMm('closure-gap', around(closureGapMm, closureGapToleranceMm)),
    inMm('medial-trim-line', around(sizing.medialClearanceMm, trimToleranceMm)),
    inMm('lateral-trim-line', around(sizing.lateralClearanceMm, trimToleranceMm)),
    {
      id: 'no-edge-past-metatarsal-heads',
      answer: 'yes-no',
      sources: ['front-edge-letter-2012'],
    },
  ]
}

function redness({ fitting }: RuleSet): Item {
  const { rednessTellMinutes: tell, rednessStopMinutes: stop } = fitting
  return {
    id: 'redness',
    values: { tell, stop },
    answer: 'minutes',
    tolerance: { min: 0, max: tell },
    sources: ['orthosis-leaflets'],
  }
}

const MOVING: FitCheckItem = {
  id: 'floor-to-stand-and-back',
  question: question('floor-to-stand-and-back'),
  answer: 'yes-no',
  sources: ['common-practice'],
}

function around(target: number, tolerance: number) {
  return { min: Math.max(target - tolerance, 0), max: target + tolerance }
}
