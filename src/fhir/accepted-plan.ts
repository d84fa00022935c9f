import { type Side, SIDES } from '../domain/child.ts'
import type { FittingPlan } from '../domain/plan/fitting.ts'
import type { Triage } from '../domain/triage.ts'
import { EXCHANGE_CODES, SIDE_CODES } from './codes.ts'
import type { DerivedContext } from './derived.ts'
import { fitCheckQuestionnaire } from './plan-questionnaire.ts'
import { carePlan, deviceRequest, followUpRequest, goal } from './plan-resources.ts'
import type { CarePlan, DeviceRequest, Questionnaire, Resource } from './r4/types.ts'
import { hasCode } from './reading.ts'

/** What identifies the proposal that a plan was accepted from. */
const PROPOSAL = 'urn:ietf:rfc:3986'

export const proposalOf = ({ idOf }: DerivedContext): string => `urn:uuid:${idOf('plan.care-plan')}`

/** Is it a fitting plan that is followed now? */
export const isPlanInForce = (resource: Resource): resource is CarePlan =>
  resource.resourceType === 'CarePlan' &&
  resource.status === 'active' &&
  (resource.category?.some((one) => hasCode(one, EXCHANGE_CODES.orthosis)) ?? false)

export const isAcceptedFrom = ({ identifier }: CarePlan, proposal: string): boolean =>
  identifier?.some(({ system, value }) => system === PROPOSAL && value === proposal) ?? false

/** The foot that a device is requested for. */
export const sideOfRequest = ({ parameter }: DeviceRequest): Side | undefined =>
  SIDES.find((side) => parameter?.some(({ code }) => hasCode(code, SIDE_CODES[side])))

/** The plan that a new one comes after. */
export interface PlanBefore {
  /** `CarePlan/1`. */
  readonly plan: string
  /** Its requests, `DeviceRequest/1`. */
  readonly devices: Readonly<Partial<Record<Side, string>>>
}

/**
 * A proposed plan as the clinic has accepted it, to be kept: the same content, in force. Nothing is ordered
 * by it: the device is requested as part of a plan, an order needs its prescriber.
 *
 * @param idFor the id under which a part will be kept
 */
export function acceptedPlan(
  { plan, triage }: { readonly plan: FittingPlan; readonly triage: Triage },
  context: DerivedContext,
  { idFor, before }: { readonly idFor: () => string; readonly before: PlanBefore | undefined },
): readonly (Resource & { readonly id: string })[] {
  const devices = plan.devices.map((device) => {
    const prior = before?.devices[device.side]
    return {
      ...deviceRequest(device, plan, context),
      id: idFor(),
      ...(prior === undefined ? {} : { priorRequest: [{ reference: prior }] }),
      status: 'active' as const,
      intent: 'plan' as const,
    }
  })
  const goals = plan.goals.map((one) => ({
    ...goal(one, plan, context),
    id: idFor(),
    lifecycleStatus: 'accepted' as const,
  }))
  const visits = plan.followUps.map((visit) => ({
    ...followUpRequest(visit, plan, context),
    id: idFor(),
    status: 'active' as const,
    intent: 'plan' as const,
  }))
  const urls = {
    devices: devices.map(({ id }) => `DeviceRequest/${id}`),
    goals: goals.map(({ id }) => `Goal/${id}`),
    visits: visits.map(({ id }) => `ServiceRequest/${id}`),
  }
  const care = {
    ...carePlan(plan, triage, context, urls),
    id: idFor(),
    identifier: [{ system: PROPOSAL, value: proposalOf(context) }],
    ...(before === undefined ? {} : { replaces: [{ reference: before.plan }] }),
    status: 'active' as const,
    intent: 'plan' as const,
  }
  const form: Questionnaire & { readonly id: string } = {
    ...fitCheckQuestionnaire(plan, context),
    id: idFor(),
    status: 'active',
  }
  return [care, ...devices, ...goals, ...visits, form]
}
