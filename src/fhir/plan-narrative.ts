import type { FittingPlan } from '../domain/plan/fitting.ts'
import type { Triage } from '../domain/triage.ts'
import type { Narrative } from './r4/types.ts'
import { heading, list, narrative, paragraph, table } from './xhtml.ts'

/** The plan as a therapist reads it, without the JSON. */
export function planNarrative(plan: FittingPlan, { suitability, urgency }: Triage): Narrative {
  const millimetres = (mm: number | 'unknown') =>
    mm === 'unknown' ? 'not measured' : `${mm.toFixed(1)} mm`
  return narrative(
    heading(`Fitting plan of ${plan.proposedOn}, for the orthotist to approve`),
    paragraph(`${suitability.because}.`),
    paragraph(`To be seen by ${urgency.seeBy} (${urgency.priority}).`),
    heading('Device'),
    table(
      ['Foot', 'Size', 'Trim medial', 'Trim lateral', 'Closure gap', 'Refit about'],
      plan.devices.map(({ side, sizing }) => [
        side,
        sizing.size?.code ?? 'none yet',
        ...(['medial', 'lateral'] as const).map((edge) =>
          millimetres(sizing.trims.find((trim) => trim.edge === edge)?.mm ?? 'unknown'),
        ),
        millimetres(sizing.closureGapMm),
        refit(sizing.refit),
      ]),
    ),
    list(
      unique(
        plan.devices.flatMap(({ materials }) => materials.map((wording) => wording.therapist)),
      ),
    ),
    heading('Shoes'),
    list((plan.devices[0]?.shoe ?? []).map((wording) => wording.therapist)),
    heading('Wear'),
    paragraph(plan.wear.wording.therapist),
    table(
      ['Day', 'Minutes'],
      plan.wear.days.map(({ day, minutes }) => [String(day), String(minutes)]),
    ),
    heading('Fit check'),
    list(plan.fitCheck.map(({ question }) => question.therapist)),
    heading('Goals'),
    table(
      ['Goal', 'Due'],
      plan.goals.map(({ wording, ...goal }) => [wording.therapist, due(goal)]),
    ),
    heading('Visits'),
    table(
      ['On', 'What for'],
      plan.followUps.map(({ on, wording }) => [on, wording.therapist]),
    ),
    heading('Stop'),
    list(plan.stopRules.map((wording) => wording.therapist)),
    heading('Cautions'),
    list(plan.cautions.map((wording) => wording.therapist)),
    heading('Evidence'),
    list(plan.evidence),
    heading('In plain words for the family'),
    list(familyWords(plan)),
  )
}

const unique = (texts: readonly string[]): string[] => [...new Set(texts)]

const familyWords = ({ devices, wear, goals, stopRules, cautions }: FittingPlan): string[] =>
  unique(
    [
      ...devices.flatMap(({ materials, shoe }) => [...materials, ...shoe]),
      wear.wording,
      ...goals.map(({ wording }) => wording),
      ...stopRules,
      ...cautions,
    ].map(({ family }) => family),
  )

const due = (goal: Pick<FittingPlan['goals'][number], 'due' | 'earliest' | 'latest'>): string =>
  goal.earliest === undefined
    ? goal.due
    : `${goal.due} (${goal.earliest} to ${goal.latest ?? 'later'})`

function refit(forecast: FittingPlan['devices'][number]['sizing']['refit']): string {
  if (forecast?.median === undefined) return 'not foreseen'
  const { median, earliest, latest } = forecast
  return earliest === undefined ? median : `${median} (${earliest} to ${latest ?? 'later'})`
}
