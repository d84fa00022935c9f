import { type Side, SIDES } from '../domain/child.ts'
import { type Message, say } from '../domain/messages/message.ts'
import type { SizeSuccession } from '../domain/device/size-succession.ts'
import type { FootPosture } from '../domain/foot/posture.ts'
import type { FootSizing } from '../domain/device/sizing.ts'
import type { ExplainedTriage, Triage } from '../domain/triage.ts'
import { ruleCode } from './codes.ts'
import {
  concept,
  type DerivedContext,
  explained,
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
    ...(fpi.z === undefined
      ? []
      : [{ code: concept(FINDING_CODES.fpiZ), valueQuantity: quantity(fpi.z, 'ratio', 2) }]),
  ]
}

function sizeFinding(
  { asOf, sizing, sizesToCome }: ExplainedTriage,
  side: Side,
  context: DerivedContext,
) {
  const foot = sizing[side]
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
        .map(({ code, because }) => say('answer.size-not-chosen', { code, because })),
    ],
    evidence: foot.evidence,
    ...value,
    components: [
      ...millimetreComponents(foot, context),
      ...refitComponents(foot, context),
      ...sizesToComeComponents(sizesToCome[side], context),
    ],
  })
}

function millimetreComponents(foot: FootSizing, context: DerivedContext): ObservationComponent[] {
  if (foot.size === undefined) return []
  const millimetres = (
    code: typeof FINDING_CODES.closureGap,
    mm: number | 'unknown',
    because?: Message,
  ) => {
    const measured = (text?: string) => ({
      code: concept(code, text),
      ...(mm === 'unknown'
        ? { dataAbsentReason: unknownReason }
        : { valueQuantity: quantity(mm, 'millimetres') }),
    })
    return because === undefined ? measured() : explained(context, because, measured)
  }
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

function refitComponents({ refit }: FootSizing, context: DerivedContext): ObservationComponent[] {
  if (refit?.median === undefined) return []
  const { median } = refit
  return [
    explained(context, refit.because, (text) => ({
      code: concept(FINDING_CODES.refitDate, text),
      valueDateTime: median,
    })),
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

function sizesToComeComponents(
  found: SizeSuccession | 'unknown',
  context: DerivedContext,
): ObservationComponent[] {
  if (found === 'unknown') return []
  return [
    explained(context, found.because, (text) => ({
      code: concept(FINDING_CODES.sizesToComeUntil, text),
      valueInteger: found.sizes.length,
    })),
  ]
}
