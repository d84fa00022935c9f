import type { CivilDate } from '../domain/calendar.ts'
import type { FitCheckResult, FitItemResult } from '../domain/follow-up/fit-check-result.ts'
import { FIT_VERDICT_CODES, ruleCode } from './codes.ts'
import { concept, type DerivedContext, explained, findingObservation, quantity } from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import type { Observation, ObservationComponent } from './r4/types.ts'

/** What an answered fit check says: pass, tell, adjust by how many mm, or stop and call. */
export function fitCheckFinding(
  { verdict, items, finding }: FitCheckResult,
  asOf: CivilDate,
  context: DerivedContext,
): Observation {
  return findingObservation(context, {
    role: 'fit-check',
    code: FINDING_CODES.fitCheck,
    asOf,
    because: [finding.because],
    evidence: finding.evidence,
    valueCodeableConcept: concept(
      FIT_VERDICT_CODES[verdict],
      context.speaker.therapist(finding.because),
    ),
    components: items.flatMap((item) => itemComponents(item, context)),
  })
}

function itemComponents(
  { verdict, adjustment, wording, finding }: FitItemResult,
  context: DerivedContext,
): ObservationComponent[] {
  const code = concept(ruleCode(finding.rule))
  const judged = explained(context, wording, (text) => ({
    code,
    valueCodeableConcept: concept(FIT_VERDICT_CODES[verdict], text),
  }))
  if (adjustment === undefined || adjustment.mm === 'unknown') return [judged]
  const { what, direction, mm } = adjustment
  return [
    judged,
    {
      code: {
        coding: [
          ...(concept(FINDING_CODES.toAdjust).coding ?? []),
          ...(code.coding ?? []),
          ...(concept(ruleCode(`adjust.${what}.${direction}`)).coding ?? []),
        ],
      },
      valueQuantity: quantity(mm, 'millimetres'),
    },
  ]
}
