import type { Counterfactual } from '../domain/decision/counterfactuals.ts'
import { disputedEvidence } from '../domain/decision/disagreements.ts'
import { day, say } from '../domain/messages/message.ts'
import type { Finding } from '../domain/truth.ts'
import { isRedFlag } from '../domain/decision/red-flags.ts'
import type { MissingFact } from '../domain/decision/suitability.ts'
import type { ExplainedTriage, Triage } from '../domain/triage.ts'
import type { Contribution } from '../domain/urgency/urgency.ts'
import { OUTCOME_CODES, ruleCode, SIDE_CODES } from './codes.ts'
import {
  concept,
  type DerivedContext,
  explained,
  findingObservation,
  quantity,
  TRUTH_CODES,
} from './derived.ts'
import { factCodes } from './fact-codes.ts'
import { FINDING_CODES } from './finding-codes.ts'
import type { Observation, ObservationComponent } from './r4/types.ts'

export function suitabilityFinding(triage: ExplainedTriage, context: DerivedContext): Observation {
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
    valueCodeableConcept: concept(
      OUTCOME_CODES[suitability.outcome],
      context.speaker.therapist(suitability.because),
    ),
    components: [
      ...findings.map((finding) => criterionComponent(finding, context)),
      ...suitability.missing.flatMap((missing) => missingComponents(missing, context)),
      ...triage.counterfactuals.changes
        .slice(0, SHOWN_CHANGES)
        .map((change) => changeComponent(change, context)),
      ...(suitability.recheckOn === undefined
        ? []
        : [{ code: concept(FINDING_CODES.recheckDate), valueDateTime: suitability.recheckOn }]),
    ],
  })
}

/** The nearest ways to another outcome are worth a sentence, not every way. */
const SHOWN_CHANGES = 3

const criterionComponent = (finding: Finding, context: DerivedContext): ObservationComponent =>
  explained(context, finding.because, (text) => ({
    code: concept(ruleCode(finding.rule)),
    valueCodeableConcept: concept(TRUTH_CODES[finding.holds], text),
  }))

/** The outcome as it would be, and the least that would have to be otherwise for it. */
const changeComponent = (
  { outcome, because }: Counterfactual,
  context: DerivedContext,
): ObservationComponent =>
  explained(context, because, (text) => ({
    code: concept(FINDING_CODES.otherOutcome),
    valueCodeableConcept: concept(OUTCOME_CODES[outcome], text),
  }))

/** Each observation that would decide, most decisive first; the code to send is the value. */
const missingComponents = (missing: MissingFact, context: DerivedContext): ObservationComponent[] =>
  missing.facts.flatMap(factCodes).map(({ code, side }) =>
    explained(context, missing.because, (text) => ({
      code: concept(FINDING_CODES.missing, text),
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
        text,
      },
    })),
  )

export function urgencyFinding({ urgency, asOf }: Triage, context: DerivedContext): Observation {
  const { score, priority, seeBy, contributions } = urgency
  const raising = urgency.raisedBy.filter(isRedFlag)
  return findingObservation(context, {
    role: 'referral-urgency',
    code: FINDING_CODES.urgency,
    asOf,
    pictures: context.pictures ?? [],
    because: [
      say('answer.urgency', { score, priority, seeBy: day(seeBy) }),
      ...(raising.length === 0
        ? []
        : [
            say('answer.urgency-raised', { rules: raising.map((rule) => say(`red-flag.${rule}`)) }),
          ]),
      ...contributions.map(({ because, points, max }) =>
        say('answer.contribution', { points, max, because }),
      ),
    ],
    evidence: contributions.flatMap((contribution) => contribution.evidence),
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
      ...contributions.flatMap((contribution) => contributionComponents(contribution, context)),
    ],
  })
}

/** The points, and the range that they may have while something is unknown. */
function contributionComponents(
  { id, points, low, high, because }: Contribution,
  context: DerivedContext,
): ObservationComponent[] {
  const range = concept(FINDING_CODES.contributionRange).coding ?? []
  return [
    explained(context, because, (text) => ({
      code: concept(ruleCode(id), text),
      valueQuantity: quantity(points, 'points'),
    })),
    ...(low === high
      ? []
      : [
          {
            code: { coding: [...range, ...(concept(ruleCode(id)).coding ?? [])] },
            valueRange: { low: quantity(low, 'points'), high: quantity(high, 'points') },
          },
        ]),
  ]
}
