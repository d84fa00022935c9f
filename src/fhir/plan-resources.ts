import type { DeviceProposal, FittingPlan, FollowUp, PlanGoal } from '../domain/plan/fitting.ts'
import type { Triage } from '../domain/triage.ts'
import { type Code, EXCHANGE_CODES, SIDE_CODES } from './codes.ts'
import { say } from '../domain/messages/message.ts'
import { concept, type DerivedContext, forFamily, noteOf, quantity } from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import { MILESTONE_CODES } from './observed-codes.ts'
import { planNarrative } from './plan-narrative.ts'
import { wearActivities } from './wear-activities.ts'
import type {
  CarePlan,
  DeviceRequest,
  DeviceRequestParameter,
  Goal,
  Narrative,
  ServiceRequest,
} from './r4/types.ts'
import { narrative, paragraph, list } from './xhtml.ts'

interface PlanUrls {
  readonly devices: readonly string[]
  readonly goals: readonly string[]
  readonly visits: readonly string[]
}

export function carePlan(
  plan: FittingPlan,
  triage: Triage,
  context: DerivedContext,
  urls: PlanUrls,
): CarePlan {
  const { patient, referral, speaker } = context
  return {
    resourceType: 'CarePlan',
    language: speaker.language,
    text: planNarrative(plan, triage, context),
    status: 'draft',
    intent: 'proposal',
    category: [concept(EXCHANGE_CODES.orthosis)],
    title: speaker.therapist(say('part.plan-name')),
    description: speaker.therapist(triage.suitability.because),
    subject: { reference: patient },
    period: { start: plan.proposedOn },
    created: plan.proposedOn,
    supportingInfo: [{ reference: referral }],
    goal: urls.goals.map((reference) => ({ reference })),
    activity: [
      ...[...urls.devices, ...urls.visits].map((reference) => ({ reference: { reference } })),
      ...wearActivities(plan, context),
    ],
    note: [...plan.stopRules, ...plan.cautions, ...plan.evidence].map(noteOf(context)),
  }
}

export function deviceRequest(
  device: DeviceProposal,
  plan: Pick<FittingPlan, 'proposedOn'>,
  context: DerivedContext,
): DeviceRequest {
  const { patient, referral } = context
  const { language, therapist } = context.speaker
  const { sizing, side } = device
  const words = [sizing.because, ...device.materials, ...device.shoe]
  const size =
    sizing.size === undefined
      ? say('part.no-size')
      : say('part.size-of', { code: sizing.size.code })
  return {
    resourceType: 'DeviceRequest',
    language,
    text: narrative(
      paragraph(therapist(say('part.orthosis-of-foot', { side }))),
      paragraph(therapist(size)),
      list(words.map(therapist)),
    ),
    basedOn: [{ reference: referral }],
    status: 'draft',
    intent: 'proposal',
    codeCodeableConcept: concept(EXCHANGE_CODES.orthosis),
    parameter: deviceParameters(device),
    subject: { reference: patient },
    authoredOn: plan.proposedOn,
    note: words.map(noteOf(context)),
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

/** What shows that a goal is reached. */
const GOAL_CODES: Readonly<Record<PlanGoal['milestone'], Code>> = {
  ...MILESTONE_CODES,
  'comfortable-wear': EXCHANGE_CODES.wear,
  'alignment-in-standing': FINDING_CODES.footPosture,
}

export function goal(
  { milestone, wording, due, forecast }: PlanGoal,
  plan: FittingPlan,
  context: DerivedContext,
): Goal {
  const { patient, referral, speaker } = context
  return {
    resourceType: 'Goal',
    language: speaker.language,
    text: narrative(paragraph(speaker.therapist(wording)), paragraph(speaker.family(wording))),
    lifecycleStatus: 'proposed',
    description: {
      extension: forFamily(context, wording),
      coding: [GOAL_CODES[milestone]],
      text: speaker.therapist(wording),
    },
    subject: { reference: patient },
    startDate: plan.proposedOn,
    target: [{ dueDate: due }],
    addresses: [{ reference: referral }],
    ...(forecast === undefined ? {} : { note: [noteOf(context)(forecast)] }),
  }
}

export const visitNarrative = (on: string, words: string): Narrative =>
  narrative(paragraph(`${on}: ${words}`))

export function followUpRequest(
  { id, on, wording }: FollowUp,
  plan: FittingPlan,
  { patient, referral, speaker }: DerivedContext,
): ServiceRequest {
  const words = speaker.therapist(wording)
  return {
    resourceType: 'ServiceRequest',
    language: speaker.language,
    text: visitNarrative(on, words),
    basedOn: [{ reference: referral }],
    status: 'draft',
    intent: 'proposal',
    code: {
      coding: [EXCHANGE_CODES.followUp, ...(id === 'refit' ? [EXCHANGE_CODES.refit] : [])],
    },
    subject: { reference: patient },
    occurrenceDateTime: on,
    authoredOn: plan.proposedOn,
    note: [{ text: words }],
    patientInstruction: speaker.family(wording),
  }
}
