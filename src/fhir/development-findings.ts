import { ageSentences } from '../domain/development/age-findings.ts'
import type { MilestoneStatus } from '../domain/development/milestones.ts'
import type { Triage } from '../domain/triage.ts'
import { FINDING_CODES } from './finding-codes.ts'
import { tempoFindings } from './tempo-findings.ts'
import {
  concept,
  type DerivedContext,
  explained,
  findingObservation,
  notApplicable,
  quantity,
  TRUTH_CODES,
  unknownReason,
} from './derived.ts'
import { MILESTONE_CODES, SKILL_CODES } from './observed-codes.ts'
import type { Observation } from './r4/types.ts'

/** Ages, milestones against their windows, tempo. */
export function developmentFindings(triage: Triage, context: DerivedContext): Observation[] {
  return [
    ...ageFindings(triage, context),
    ...triage.milestones.statuses.flatMap((status) => milestoneFinding(triage, status, context)),
    ...skillsFinding(triage, context),
    ...tempoFindings(triage, context),
  ]
}

/** Both ages, always; which of them is used is said with it. */
function ageFindings({ ages, asOf, child }: Triage, context: DerivedContext): Observation[] {
  const because = ages.findings.map((finding) => finding.because)
  const said = ageSentences(ages)
  const used = (age: 'chronological' | 'corrected') => (ages.used === age ? because : [])
  const evidence = [child.birthDate.evidence, ...ages.findings.flatMap((found) => found.evidence)]
  return [
    findingObservation(context, {
      role: 'chronological-age',
      code: FINDING_CODES.chronologicalAge,
      asOf,
      because: [said.chronological, ...used('chronological')],
      evidence,
      ...ageValue(ages.chronologicalMonths),
      components: ageComponents(ages.chronologicalDays, ages.completedMonths),
    }),
    findingObservation(context, {
      role: 'corrected-age',
      code: FINDING_CODES.correctedAge,
      asOf,
      because: [said.corrected, ...used('corrected')],
      evidence,
      ...ageValue(ages.correctedMonths),
      components: ageComponents(ages.correctedDays, ages.correctedCompletedMonths),
    }),
  ]
}

/** Months of 30.4375 days. */
const ageValue = (months: number | undefined) =>
  months === undefined
    ? { dataAbsentReason: unknownReason }
    : { valueQuantity: quantity(months, 'months', 2) }

function ageComponents(days: number | undefined, completedMonths: number | undefined) {
  if (days === undefined || completedMonths === undefined) return []
  return [
    { code: concept(FINDING_CODES.ageInDays), valueQuantity: quantity(days, 'days', 0) },
    { code: concept(FINDING_CODES.completedMonths), valueInteger: completedMonths },
  ]
}

function milestoneFinding(
  { asOf }: Triage,
  status: MilestoneStatus,
  context: DerivedContext,
): Observation[] {
  const { percentile, milestone, finding, evidence } = status
  if (evidence.length === 0) return []
  return [
    findingObservation(context, {
      role: `milestone-percentile.${milestone}`,
      code: FINDING_CODES.milestonePercentile,
      asOf,
      because: [finding.because],
      evidence,
      ...(percentile === undefined
        ? { dataAbsentReason: notApplicable }
        : {
            valueRange: {
              low: quantity(percentile.low, 'percent'),
              high: quantity(percentile.high, 'percent'),
            },
          }),
      components: [
        {
          code: concept(MILESTONE_CODES[milestone]),
          valueString:
            percentile === undefined
              ? status.state
              : `${status.state}: ${context.speaker.therapist(percentile.words)}`,
        },
      ],
    }),
  ]
}

/** Skills that carry words only; those nobody looked at are left out. */
function skillsFinding({ milestones, asOf }: Triage, context: DerivedContext): Observation[] {
  const seen = milestones.skills.filter(({ finding }) => finding.evidence.length > 0)
  if (seen.length === 0) return []
  return [
    findingObservation(context, {
      role: 'described-skills',
      code: FINDING_CODES.describedSkill,
      asOf,
      because: seen.map(({ finding }) => finding.because),
      evidence: seen.flatMap(({ finding }) => finding.evidence),
      components: seen.map(({ skill, finding }) =>
        explained(context, finding.because, (text) => ({
          code: concept(SKILL_CODES[skill]),
          valueCodeableConcept: concept(TRUTH_CODES[finding.holds], text),
        })),
      ),
    }),
  ]
}
