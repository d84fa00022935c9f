import { day, type Message, say, type Value } from '../domain/messages/message.ts'
import type { MessageKey } from '../domain/messages/catalogues.ts'
import type { FittingPlan, PlanGoal } from '../domain/plan/fitting.ts'
import type { Triage } from '../domain/triage.ts'
import type { DerivedContext, Speaking } from './derived.ts'
import type { Narrative } from './r4/types.ts'
import { heading, list, narrative, paragraph, picture, table } from './xhtml.ts'

/** The plan as a therapist reads it, without the JSON. */
export function planNarrative(
  plan: FittingPlan,
  { suitability, urgency: { score, priority, seeBy } }: Triage,
  { speaker: { therapist, family }, pictures = [] }: Speaking & Pick<DerivedContext, 'pictures'>,
): Narrative {
  const words = (key: MessageKey, values: Readonly<Record<string, Value>> = {}) =>
    therapist(say(key, values))
  const section = (key: MessageKey) => heading(words(key))
  const all = (messages: readonly Message[]) => list(unique(messages.map(therapist)))
  const head = (...keys: readonly MessageKey[]) => keys.map((key) => words(key))
  return narrative(
    heading(words('part.plan-title', { on: day(plan.proposedOn) })),
    paragraph(therapist(suitability.because)),
    paragraph(words('answer.urgency', { score, priority, seeBy: day(seeBy) })),
    section('part.device'),
    table(
      head(
        'part.foot',
        'part.size',
        'part.trim-medial',
        'part.trim-lateral',
        'part.closure-gap',
        'part.refit',
      ),
      plan.devices.map((device) => deviceCells(device).map(therapist)),
    ),
    all(plan.devices.flatMap(({ materials }) => materials)),
    section('part.shoes'),
    all(plan.devices[0]?.shoe ?? []),
    section('part.wear'),
    paragraph(therapist(plan.wear.wording)),
    table(
      head('part.day', 'part.minutes'),
      plan.wear.days.map((step) => [String(step.day), String(step.minutes)]),
    ),
    section('part.fit-check'),
    all(plan.fitCheck.map(({ question }) => question)),
    section('part.goals'),
    table(
      head('part.goal', 'part.due'),
      plan.goals.map((goal) => [therapist(goal.wording), therapist(due(goal))]),
    ),
    section('part.visits'),
    table(
      head('part.on', 'part.what-for'),
      plan.followUps.map(({ on, wording }) => [
        words('part.day-alone', { on: day(on) }),
        therapist(wording),
      ]),
    ),
    ...pictures.map(picture),
    section('part.stop'),
    all(plan.stopRules),
    section('part.cautions'),
    all(plan.cautions),
    section('part.evidence'),
    all(plan.evidence),
    section('part.for-family'),
    list(unique(forTheFamily(plan).map(family))),
  )
}

const unique = (texts: readonly string[]): string[] => [...new Set(texts)]

const forTheFamily = ({ devices, wear, goals, stopRules, cautions }: FittingPlan): Message[] => [
  ...devices.flatMap(({ materials, shoe }) => [...materials, ...shoe]),
  wear.wording,
  ...goals.map(({ wording }) => wording),
  ...stopRules,
  ...cautions,
]

function deviceCells({ side, sizing }: FittingPlan['devices'][number]): Message[] {
  const trim = (wanted: 'medial' | 'lateral') =>
    millimetres(sizing.trims.find(({ edge }) => edge === wanted)?.mm ?? 'unknown')
  return [
    say('part.side', { side }),
    sizing.size === undefined
      ? say('part.no-size')
      : say('part.size-of', { code: sizing.size.code }),
    trim('medial'),
    trim('lateral'),
    millimetres(sizing.closureGapMm),
    refit(sizing.refit),
  ]
}

const millimetres = (mm: number | 'unknown'): Message =>
  mm === 'unknown' ? say('part.not-measured') : say('part.millimetres', { mm })

const due = ({ due: on, earliest, latest }: PlanGoal): Message => dayWithin(on, earliest, latest)

const refit = (forecast: FittingPlan['devices'][number]['sizing']['refit']): Message =>
  forecast?.median === undefined
    ? say('part.not-foreseen')
    : dayWithin(forecast.median, forecast.earliest, forecast.latest)

type On = PlanGoal['due']

function dayWithin(on: On, earliest: On | undefined, latest: On | undefined): Message {
  if (earliest === undefined) return say('part.day-alone', { on: day(on) })
  return latest === undefined
    ? say('part.day-from', { on: day(on), earliest: day(earliest) })
    : say('part.day-range', { on: day(on), earliest: day(earliest), latest: day(latest) })
}
