import { CAUTIONS } from '../domain/cautions.ts'
import { type Message, day, say } from '../domain/messages/message.ts'
import type { DeviceProposal, FittingPlan } from '../domain/plan/fitting.ts'
import type { Words } from '../pictures/words.ts'
import type { DocumentFacts } from './document-facts.ts'
import { heading, list, paragraph, type Piece, type Section, section, table } from './document.ts'

/** What is proposed, or that nothing is and what is advised instead. */
export function planSection(facts: DocumentFacts, words: Words): Section {
  const title = words.say('part.paper-plan')
  const { plan, triage } = facts
  if (plan === undefined)
    return section(
      'plan',
      title,
      paragraph(words.say('paper-plan.none')),
      list(triage.suitability.pathways.map(words.of)),
    )
  return section(
    'plan',
    title,
    paragraph(words.say('paper-plan.proposal')),
    devices(plan, words),
    heading(words.say('part.wear')),
    paragraph(words.of(plan.wear.wording)),
    heading(words.say('part.stop')),
    list(plan.stopRules.map(words.of)),
  )
}

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
  say('part.paper-orthosis', { side, state, code: size?.code ?? '' })

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

/** When the child is seen again and what is hoped for, or why no date stands here. */
export function followUpSection(facts: DocumentFacts, words: Words): Section {
  const { plan, triage } = facts
  const title = words.say('part.paper-follow-up')
  if (plan !== undefined)
    return section('follow-up', title, visits(plan, words), [
      heading(words.say('part.goals')),
      ...goals(plan, words),
    ])
  const { recheckOn, outcome } = triage.suitability
  if (recheckOn !== undefined)
    return section(
      'follow-up',
      title,
      paragraph(words.say('paper-plan.recheck', { on: day(recheckOn) })),
    )
  return section(
    'follow-up',
    title,
    paragraph(
      words.say(
        outcome === 'undetermined' ? 'paper-follow-up.when-known' : 'paper-follow-up.elsewhere',
      ),
    ),
  )
}

export const visits = (plan: FittingPlan, words: Words): readonly Piece[] => [
  paragraph(words.say('paper-follow-up.after-delivery', { on: day(plan.deliveryOn) })),
  ...table(
    [words.say('part.on'), words.say('part.what-for')],
    plan.followUps.map(({ on, wording }) => [
      words.say('part.day-alone', { on: day(on) }),
      words.of(wording),
    ]),
  ),
]

export const goals = (plan: FittingPlan, words: Words): readonly Piece[] =>
  table(
    [words.say('part.goal'), words.say('part.due')],
    plan.goals.map(({ wording, due }) => [
      words.of(wording),
      words.say('part.day-alone', { on: day(due) }),
    ]),
  )

/** What must be borne in mind, and what is known about such devices. */
export const cautionSections = ({ plan }: DocumentFacts, words: Words): readonly Section[] => [
  section('cautions', words.say('part.cautions'), list((plan?.cautions ?? CAUTIONS).map(words.of))),
  section('evidence', words.say('part.evidence'), list((plan?.evidence ?? []).map(words.of))),
]
