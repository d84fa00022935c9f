import type { TempoEstimate } from '../domain/development/tempo.ts'
import type { Triage } from '../domain/triage.ts'
import {
  concept,
  type DerivedContext,
  findingObservation,
  notApplicable,
  quantity,
  TRUTH_CODES,
} from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import { MILESTONE_CODES } from './observed-codes.ts'
import type { Observation } from './r4/types.ts'

/** The pace, what is to be expected at it, and the simple age equivalent beside it. */
export const tempoFindings = (triage: Triage, context: DerivedContext): Observation[] => [
  tempoFinding(triage, context),
  ...expectedFindings(triage, context),
  ...simpleAgeEquivalent(triage, context),
]

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
