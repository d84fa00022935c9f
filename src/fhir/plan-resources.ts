import type {
  DeviceProposal,
  FittingPlan,
  FollowUp,
  PlanGoal,
  Wording,
} from '../domain/plan/fitting.ts'
import type { Triage } from '../domain/triage.ts'
import { EXCHANGE_CODES, SIDE_CODES } from './codes.ts'
import { concept, type DerivedContext, quantity } from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import { planNarrative } from './plan-narrative.ts'
import { wearActivities } from './wear-activities.ts'
import type {
  CarePlan,
  DeviceRequest,
  DeviceRequestParameter,
  Goal,
  ServiceRequest,
} from './r4/types.ts'
import { narrative, paragraph, list } from './xhtml.ts'

const therapist = ({ therapist: text }: Wording): string => text
const notes = (wordings: readonly Wording[]) =>
  wordings.map((wording) => ({ text: therapist(wording) }))

interface PlanUrls {
  readonly devices: readonly string[]
  readonly goals: readonly string[]
  readonly visits: readonly string[]
}

export function carePlan(
  plan: FittingPlan,
  triage: Triage,
  { patient, referral }: DerivedContext,
  urls: PlanUrls,
): CarePlan {
  return {
    resourceType: 'CarePlan',
    text: planNarrative(plan, triage),
    status: 'draft',
    intent: 'proposal',
    category: [concept(EXCHANGE_CODES.orthosis)],
    title: 'Fitting plan, for the orthotist to approve',
    description: triage.suitability.because,
    subject: { reference: patient },
    period: { start: plan.proposedOn },
    created: plan.proposedOn,
    supportingInfo: [{ reference: referral }],
    goal: urls.goals.map((reference) => ({ reference })),
    activity: [
      ...[...urls.devices, ...urls.visits].map((reference) => ({ reference: { reference } })),
      ...wearActivities(plan),
    ],
    note: notes([...plan.stopRules, ...plan.cautions]).concat(
      plan.evidence.map((text) => ({ text })),
    ),
  }
}

export function deviceRequest(
  device: DeviceProposal,
  plan: FittingPlan,
  { patient, referral }: DerivedContext,
): DeviceRequest {
  const { sizing, side } = device
  const words = [sizing.because, ...[...device.materials, ...device.shoe].map(therapist)]
  return {
    resourceType: 'DeviceRequest',
    text: narrative(
      paragraph(`${EXCHANGE_CODES.orthosis.display}, ${side} foot`),
      paragraph(sizing.size === undefined ? 'No size yet.' : `Size ${sizing.size.code}.`),
      list(words),
    ),
    basedOn: [{ reference: referral }],
    status: 'draft',
    intent: 'proposal',
    codeCodeableConcept: concept(EXCHANGE_CODES.orthosis),
    parameter: deviceParameters(device),
    subject: { reference: patient },
    authoredOn: plan.proposedOn,
    note: words.map((text) => ({ text })),
  }
}

function deviceParameters({ sizing, side }: DeviceProposal): DeviceRequestParameter[] {
  const { size, trims, closureGapMm } = sizing
  return [
    { code: concept(SIDE_CODES[side]), valueBoolean: true },
    ...(size === undefined
      ? []
      : [
          {
            code: concept(FINDING_CODES.deviceSize),
            valueCodeableConcept: { text: size.code },
          },
        ]),
    ...trims.flatMap(({ edge, mm }) =>
      mm === 'unknown'
        ? []
        : [
            {
              code: concept(
                edge === 'medial' ? FINDING_CODES.trimMedial : FINDING_CODES.trimLateral,
              ),
              valueQuantity: quantity(mm, 'millimetres'),
            },
          ],
    ),
    ...(closureGapMm === 'unknown'
      ? []
      : [
          {
            code: concept(FINDING_CODES.closureGap),
            valueQuantity: quantity(closureGapMm, 'millimetres'),
          },
        ]),
  ]
}

export function goal(
  { wording, due, earliest, latest }: PlanGoal,
  plan: FittingPlan,
  { patient, referral }: DerivedContext,
): Goal {
  const range =
    earliest === undefined || latest === undefined
      ? []
      : [{ text: `Expected between ${earliest} and ${latest} (80 % interval).` }]
  return {
    resourceType: 'Goal',
    text: narrative(paragraph(wording.therapist), paragraph(wording.family)),
    lifecycleStatus: 'proposed',
    description: { text: wording.therapist },
    subject: { reference: patient },
    startDate: plan.proposedOn,
    target: [{ dueDate: due }],
    addresses: [{ reference: referral }],
    note: [...range, { text: wording.family }],
  }
}

export function followUpRequest(
  { on, wording }: FollowUp,
  plan: FittingPlan,
  { patient, referral }: DerivedContext,
): ServiceRequest {
  return {
    resourceType: 'ServiceRequest',
    text: narrative(paragraph(`${on}: ${wording.therapist}`)),
    basedOn: [{ reference: referral }],
    status: 'draft',
    intent: 'proposal',
    code: concept(EXCHANGE_CODES.followUp),
    subject: { reference: patient },
    occurrenceDateTime: on,
    authoredOn: plan.proposedOn,
    note: [{ text: wording.therapist }],
    patientInstruction: wording.family,
  }
}
