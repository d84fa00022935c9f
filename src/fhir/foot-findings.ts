import { type Side, SIDES } from '../domain/child.ts'
import type { FootPosture } from '../domain/foot/posture.ts'
import type { FootSizing } from '../domain/device/sizing.ts'
import type { Triage } from '../domain/triage.ts'
import { ruleCode } from './codes.ts'
import {
  concept,
  type DerivedContext,
  findingObservation,
  quantity,
  TRUTH_CODES,
  unknownReason,
} from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import type { Observation, ObservationComponent } from './r4/types.ts'

/** The nearest other sizes are worth a sentence; the rest of the chart is not. */
const SHOWN_ALTERNATIVES = 3

/** Posture and size, each foot by itself. */
export const footFindings = (triage: Triage, context: DerivedContext): Observation[] =>
  SIDES.flatMap((side) => [
    postureFinding(triage, side, context),
    sizeFinding(triage, triage.sizing[side], context),
  ])

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
      foot.excessivePronation.because,
    ),
    components: [
      ...findings.map((finding) => ({
        code: concept(ruleCode(finding.rule)),
        valueCodeableConcept: concept(TRUTH_CODES[finding.holds], finding.because),
      })),
      ...fpiComponents(foot),
    ],
  })
}

function fpiComponents({ fpi }: FootPosture): ObservationComponent[] {
  if (fpi === undefined) return []
  return [
    fpi.sum === undefined
      ? {
          code: concept(FINDING_CODES.fpiRange, fpi.note),
          valueRange: { low: quantity(fpi.low, 'ratio', 0), high: quantity(fpi.high, 'ratio', 0) },
        }
      : { code: concept(FINDING_CODES.fpiSum, fpi.note), valueInteger: fpi.sum },
    ...(fpi.z === undefined
      ? []
      : [{ code: concept(FINDING_CODES.fpiZ), valueQuantity: quantity(fpi.z, 'ratio', 2) }]),
  ]
}

function sizeFinding({ asOf, sizing }: Triage, foot: FootSizing, context: DerivedContext) {
  const value =
    foot.size === undefined
      ? { dataAbsentReason: unknownReason }
      : { valueString: `${foot.size.code} (${sizing.chart.id} ${sizing.chart.version})` }
  return findingObservation(context, {
    role: `device-size.${foot.side}`,
    code: FINDING_CODES.deviceSize,
    asOf,
    side: foot.side,
    because: [
      foot.because,
      ...foot.warnings.map((warning) => warning.because),
      ...foot.alternatives
        .slice(0, SHOWN_ALTERNATIVES)
        .map(({ code, because }) => `Size ${code} was not chosen: ${because}`),
    ],
    evidence: foot.evidence,
    ...value,
    components: [...millimetreComponents(foot), ...refitComponents(foot)],
  })
}

function millimetreComponents(foot: FootSizing): ObservationComponent[] {
  if (foot.size === undefined) return []
  const millimetres = (
    code: typeof FINDING_CODES.closureGap,
    mm: number | 'unknown',
    text?: string,
  ) => ({
    code: concept(code, text),
    ...(mm === 'unknown'
      ? { dataAbsentReason: unknownReason }
      : { valueQuantity: quantity(mm, 'millimetres') }),
  })
  return [
    ...foot.trims.map((trim) =>
      millimetres(
        trim.edge === 'medial' ? FINDING_CODES.trimMedial : FINDING_CODES.trimLateral,
        trim.mm,
        trim.because,
      ),
    ),
    millimetres(FINDING_CODES.closureGap, foot.closureGapMm),
  ]
}

function refitComponents({ refit }: FootSizing): ObservationComponent[] {
  if (refit?.median === undefined) return []
  const code = concept(FINDING_CODES.refitDate, refit.because)
  return [
    { code, valueDateTime: refit.median },
    ...(refit.earliest === undefined
      ? []
      : [
          {
            code: concept(FINDING_CODES.refitRange),
            valuePeriod: {
              start: refit.earliest,
              ...(refit.latest === undefined ? {} : { end: refit.latest }),
            },
          },
        ]),
  ]
}
