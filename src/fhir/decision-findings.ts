import { disputedEvidence } from '../domain/decision/disagreements.ts'
import type { Finding } from '../domain/truth.ts'
import type { MissingFact } from '../domain/decision/suitability.ts'
import type { Triage } from '../domain/triage.ts'
import { OUTCOME_CODES, ruleCode, SIDE_CODES } from './codes.ts'
import {
  concept,
  type DerivedContext,
  findingObservation,
  quantity,
  TRUTH_CODES,
} from './derived.ts'
import { factCodes } from './fact-codes.ts'
import { FINDING_CODES } from './finding-codes.ts'
import type { Observation, ObservationComponent } from './r4/types.ts'

export function suitabilityFinding(triage: Triage, context: DerivedContext): Observation {
  const { suitability, asOf } = triage
  const findings = [...suitability.criteria, ...suitability.exclusions, ...suitability.redFlags]
  return findingObservation(context, {
    role: 'orthosis-suitability',
    code: FINDING_CODES.suitability,
    asOf,
    because: [suitability.because, ...suitability.statements, ...suitability.pathways],
    evidence: [
      ...findings.flatMap((finding) => finding.evidence),
      ...disputedEvidence(triage.child),
    ],
    valueCodeableConcept: concept(OUTCOME_CODES[suitability.outcome], suitability.because),
    components: [
      ...findings.map(criterionComponent),
      ...suitability.missing.flatMap(missingComponents),
      ...(suitability.recheckOn === undefined
        ? []
        : [{ code: concept(FINDING_CODES.recheckDate), valueDateTime: suitability.recheckOn }]),
    ],
  })
}

const criterionComponent = (finding: Finding): ObservationComponent => ({
  code: concept(ruleCode(finding.rule)),
  valueCodeableConcept: concept(TRUTH_CODES[finding.holds], finding.because),
})

/** Each observation that would decide, most decisive first; the code to send is the value. */
const missingComponents = (missing: MissingFact): ObservationComponent[] =>
  missing.facts.flatMap(factCodes).map(({ code, side }) => ({
    code: concept(FINDING_CODES.missing, missing.because),
    valueCodeableConcept: {
      coding: [
        { system: code.system, code: code.code, display: code.display },
        ...(side === undefined
          ? []
          : [
              {
                system: SIDE_CODES[side].system,
                code: SIDE_CODES[side].code,
                display: SIDE_CODES[side].display,
              },
            ]),
      ],
      text: missing.because,
    },
  }))

export function urgencyFinding({ urgency, asOf }: Triage, context: DerivedContext): Observation {
  const sentences = urgency.contributions.map(
    ({ because, points, max }) => `${points.toFixed(1)} of ${max}: ${because}`,
  )
  return findingObservation(context, {
    role: 'referral-urgency',
    code: FINDING_CODES.urgency,
    asOf,
    because: [
      `Urgency ${urgency.score.toFixed(1)} of 100, priority ${urgency.priority}, to be seen by ${urgency.seeBy}.`,
      ...urgency.raisedBy.map((rule) => `Raised to at least urgent by ${rule}.`),
      ...sentences,
    ],
    evidence: urgency.contributions.flatMap((contribution) => contribution.evidence),
    valueQuantity: quantity(urgency.score, 'points'),
    components: [
      {
        code: concept(FINDING_CODES.urgencyRange),
        valueRange: {
          low: quantity(urgency.low, 'points'),
          high: quantity(urgency.high, 'points'),
        },
      },
      { code: concept(FINDING_CODES.seeBy), valueDateTime: urgency.seeBy },
      ...urgency.contributions.map((contribution) => ({
        code: concept(ruleCode(contribution.id), contribution.because),
        valueQuantity: quantity(contribution.points, 'points'),
      })),
    ],
  })
}
