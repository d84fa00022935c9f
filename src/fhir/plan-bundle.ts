import type { FittingPlan } from '../domain/plan/fitting.ts'
import type { Triage } from '../domain/triage.ts'
import { writeJson } from './decimal.ts'
import type { DerivedContext } from './derived.ts'
import { carePlan, deviceRequest, followUpRequest, goal } from './plan-resources.ts'
import { fitCheckQuestionnaire } from './plan-questionnaire.ts'
import type { AnyResource } from './r4/types.ts'

interface Entry {
  readonly url: string
  readonly resource: AnyResource
}

/**
 * The fitting plan as a collection: CarePlan, DeviceRequest per foot, Goals, follow-up ServiceRequests and
 * the fit-check Questionnaire. It is a proposal and is not stored, so its resources have no id; they are
 * named by URNs that stay the same for the same inputs.
 */
export function planBundle(plan: FittingPlan, triage: Triage, context: DerivedContext): string {
  const entry = (role: string, resource: AnyResource): Entry => ({
    url: `urn:uuid:${context.idOf(`plan.${role}`)}`,
    resource,
  })
  const devices = plan.devices.map((device) =>
    entry(`device.${device.side}`, deviceRequest(device, plan, context)),
  )
  const goals = plan.goals.map((one) => entry(`goal.${one.milestone}`, goal(one, plan, context)))
  const visits = plan.followUps.map((visit) =>
    entry(`visit.${visit.id}`, followUpRequest(visit, plan, context)),
  )
  const questionnaire = entry('fit-check', fitCheckQuestionnaire(plan, context))
  const care = entry(
    'care-plan',
    carePlan(plan, triage, context, {
      devices: devices.map(({ url }) => url),
      goals: goals.map(({ url }) => url),
      visits: visits.map(({ url }) => url),
    }),
  )
  return writeJson({
    resourceType: 'Bundle',
    type: 'collection',
    entry: [care, ...devices, ...goals, ...visits, questionnaire].map(({ url, resource }) => ({
      fullUrl: url,
      resource,
    })),
  })
}
