import { type Side, SIDES } from '../domain/child.ts'
import type { FootPosture } from '../domain/foot/posture.ts'
import type { ExplainedTriage, Triage } from '../domain/triage.ts'
import { FPI_BAND_CODES, ruleCode } from './codes.ts'
import {
  concept,
  type DerivedContext,
  explained,
  findingObservation,
  quantity,
  TRUTH_CODES,
} from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import type { Observation, ObservationComponent } from './r4/types.ts'
import { sizeFinding } from './size-findings.ts'

/** Posture and size, each foot by itself. */
export const footFindings = (triage: ExplainedTriage, context: DerivedContext): Observation[] => [
  ...SIDES.flatMap((side) => [
    postureFinding(triage, side, context),
    sizeFinding(triage, side, context),
  ]),
  ...sideDifference(triage, context),
]

function sideDifference(
  { posture: { left, right, sideDifference: difference }, asOf }: Triage,
  context: DerivedContext,
): Observation[] {
  if (difference === undefined) return []
  return [
    findingObservation(context, {
      role: 'fpi-side-difference',
      code: FINDING_CODES.fpiSideDifference,
      asOf,
      because: [difference.note],
      evidence: [left, right].flatMap(({ excessivePronation }) => excessivePronation.evidence),
      valueInteger: difference.points,
    }),
  ]
}

function postureFinding(
  { posture, asOf }: Triage,
  side: Side,
  context: DerivedContext,
): Observation {
  const foot = posture[side]
  const findings = [
    ...foot.planes.map((plane) => plane.finding),
    foot.flexible,
    foot.tightCalf,
    foot.fixedCalf,
  ]
  return findingObservation(context, {
    role: `foot-posture.${side}`,
    code: FINDING_CODES.footPosture,
    asOf,
    side,
    because: [foot.excessivePronation.because, ...foot.remarks],
    evidence: [foot.excessivePronation, ...findings].flatMap((finding) => finding.evidence),
    valueCodeableConcept: concept(
      TRUTH_CODES[foot.excessivePronation.holds],
      context.speaker.therapist(foot.excessivePronation.because),
    ),
    components: [
      ...findings.map((finding) =>
        explained(context, finding.because, (text) => ({
          code: concept(ruleCode(finding.rule)),
          valueCodeableConcept: concept(TRUTH_CODES[finding.holds], text),
        })),
      ),
      ...fpiComponents(foot, context),
    ],
  })
}

function fpiComponents({ fpi }: FootPosture, context: DerivedContext): ObservationComponent[] {
  if (fpi === undefined) return []
  const { sum, low, high } = fpi
  return [
    explained(context, fpi.note, (text) =>
      sum === undefined
        ? {
            code: concept(FINDING_CODES.fpiRange, text),
            valueRange: { low: quantity(low, 'ratio', 0), high: quantity(high, 'ratio', 0) },
          }
        : { code: concept(FINDING_CODES.fpiSum, text), valueInteger: sum },
    ),
    ...(fpi.band === undefined
      ? []
      : [
          {
            code: concept(FINDING_CODES.fpiBand),
            valueCodeableConcept: concept(FPI_BAND_CODES[fpi.band]),
          },
        ]),
    ...(fpi.z === undefined
      ? []
      : [{ code: concept(FINDING_CODES.fpiZ), valueQuantity: quantity(fpi.z, 'ratio', 2) }]),
  ]
}
