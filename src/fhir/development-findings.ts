import { ageSentences } from '../domain/development/age-findings.ts'
import type { MilestoneStatus } from '../domain/development/milestones.ts'
import type { TempoEstimate } from '../domain/development/tempo.ts'
import type { Triage } from '../domain/triage.ts'
import { FINDING_CODES } from './finding-codes.ts'
import {
  concept,
  type DerivedContext,
  explained,
  findingObservation,
  notApplicable,
  quantity,
  TRUTH_CODES,
} from './derived.ts'
import { MILESTONE_CODES, SKILL_CODES } from './observed-codes.ts'
import type { Observation } from './r4/types.ts'

/** Ages, milestones against their windows, tempo. */
export function developmentFindings(triage: Triage, context: DerivedContext): Observation[] {
  return [
    ...ageFindings(triage, context),
    ...triage.milestones.statuses.flatMap((status) => milestoneFinding(triage, status, context)),
    ...skillsFinding(triage, context),
    tempoFinding(triage, context),
    ...expectedFindings(triage, context),
    ...simpleAgeEquivalent(triage, context),
  ]
}

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
      valueQuantity: quantity(ages.chronologicalMonths, 'months', 2),
    }),
    ...(ages.correctedMonths === undefined || ages.correctedMonths === ages.chronologicalMonths
      ? []
      : [
          findingObservation(context, {
            role: 'corrected-age',
            code: FINDING_CODES.correctedAge,
            asOf,
            because: [said.corrected, ...used('corrected')],
            evidence,
            valueQuantity: quantity(ages.correctedMonths, 'months', 2),
          }),
        ]),
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

/** When each milestone that is not there yet is expected; none without a pace. */
const expectedFindings = ({ tempo, milestones, asOf }: Triage, context: DerivedContext) =>
  tempo.state === 'not-estimable'
    ? []
    : tempo.expected.map((expected) =>
        findingObservation(context, {
          role: `expected-milestone.${expected.milestone}`,
          code: FINDING_CODES.expectedMilestone,
          asOf,
          because: [expected.because],
          evidence: milestones.statuses.flatMap((status) => status.evidence),
          valueDateTime: expected.median,
          components: [
            {
              code: concept(FINDING_CODES.expectedRange),
              valuePeriod: {
                start: expected.earliest,
                ...(expected.latest === undefined ? {} : { end: expected.latest }),
              },
            },
            {
              code: concept(MILESTONE_CODES[expected.milestone]),
              valueCodeableConcept: concept(TRUTH_CODES.no),
            },
          ],
        }),
      )

function tempoFinding({ tempo, milestones, asOf }: Triage, context: DerivedContext): Observation {
  const common = {
    role: 'motor-tempo',
    code: FINDING_CODES.tempo,
    asOf,
    because: [tempo.finding.because],
    evidence: milestones.statuses.flatMap((status) => status.evidence),
  }
  if (tempo.state === 'not-estimable')
    return findingObservation(context, {
      ...common,
      dataAbsentReason: notApplicable,
      components:
        tempo.delayUpperBoundPercent === undefined
          ? []
          : [
              {
                code: concept(FINDING_CODES.milestoneDelayInterval),
                valueRange: { high: quantity(tempo.delayUpperBoundPercent, 'percent') },
              },
            ],
    })
  return findingObservation(context, {
    ...common,
    valueQuantity: quantity(tempo.tempo, 'ratio', 3),
    components: tempoComponents(tempo),
  })
}

const tempoComponents = (tempo: TempoEstimate) => [
  {
    code: concept(FINDING_CODES.tempoInterval),
    valueRange: {
      low: quantity(tempo.tempoInterval.low, 'ratio', 3),
      high: quantity(tempo.tempoInterval.high, 'ratio', 3),
    },
  },
  {
    code: concept(FINDING_CODES.ageEquivalent),
    valueQuantity: quantity(tempo.ageEquivalent, 'months', 2),
  },
  {
    code: concept(FINDING_CODES.milestoneDelay),
    valueQuantity: quantity(tempo.delayPercent, 'percent'),
  },
  {
    code: concept(FINDING_CODES.milestoneDelayInterval),
    valueRange: {
      low: quantity(tempo.delayInterval.low, 'percent'),
      high: quantity(tempo.delayInterval.high, 'percent'),
    },
  },
  {
    code: concept(FINDING_CODES.scepticalDelay),
    valueQuantity: quantity(tempo.sceptical.delayPercent, 'percent'),
  },
]

function simpleAgeEquivalent({ milestones, asOf }: Triage, context: DerivedContext): Observation[] {
  const simple = milestones.simpleAgeEquivalent
  if (simple === undefined) return []
  return [
    findingObservation(context, {
      role: 'simple-age-equivalent',
      code: FINDING_CODES.simpleAgeEquivalent,
      asOf,
      because: [simple.because],
      evidence: milestones.statuses.flatMap((status) => status.evidence),
      valueQuantity: quantity(simple.months, 'months', 2),
      components: [
        {
          code: concept(FINDING_CODES.milestoneDelay),
          valueQuantity: quantity(simple.delayPercent, 'percent'),
        },
      ],
    }),
  ]
}
