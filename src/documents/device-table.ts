import type { Side } from '../domain/child.ts'
import type { FootSizing } from '../domain/device/sizing.ts'
import { day, type Message, say } from '../domain/messages/message.ts'
import type { DeviceProposal, FittingPlan } from '../domain/plan/fitting.ts'
import type { Words } from '../pictures/words.ts'
import { list, type Piece, table } from './document.ts'

/** Each device with its size and what is to be taken off, then what holds for all. */
export function devices({ devices: some }: FittingPlan, words: Words): readonly Piece[] {
  return [
    ...table(
      [
        words.say('part.device'),
        words.say('part.trim-medial'),
        words.say('part.trim-lateral'),
        words.say('part.closure-gap'),
        words.say('part.refit'),
      ],
      some.map((device) => [
        words.of(orthosis(device)),
        words.of(trim(device, 'medial')),
        words.of(trim(device, 'lateral')),
        words.of(millimetres(device.sizing.closureGapMm)),
        words.of(refitOf(device)),
      ]),
    ),
    ...list(some.flatMap(({ materials, shoe }) => [...materials, ...shoe]).map(words.of)),
  ]
}

/** What a device is, as an order describes it. */
export const orthosis = ({ side, sizing: { state, size } }: DeviceProposal): Message =>
  sized({ side, state, code: size?.code ?? '' })

export const sized = (values: {
  readonly side: Side
  readonly state: FootSizing['state']
  readonly code: string
}): Message => say('part.paper-orthosis', values)

const trim = ({ sizing }: DeviceProposal, wanted: 'medial' | 'lateral'): Message =>
  millimetres(sizing.trims.find(({ edge }) => edge === wanted)?.mm ?? 'unknown')

const millimetres = (mm: number | 'unknown'): Message =>
  mm === 'unknown' ? say('part.not-measured') : say('part.millimetres', { mm })

export function refitOf({ sizing: { refit } }: DeviceProposal): Message {
  if (refit?.median === undefined) return say('part.not-foreseen')
  const on = day(refit.median)
  const { earliest, latest } = refit
  if (earliest === undefined) return say('part.day-alone', { on })
  return latest === undefined
    ? say('part.day-from', { on, earliest: day(earliest) })
    : say('part.day-range', { on, earliest: day(earliest), latest: day(latest) })
}
