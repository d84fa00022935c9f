import { materials, shoeAdvice } from '../domain/plan/plan-wording.ts'
import { say } from '../domain/messages/message.ts'
import type { PlanBefore } from '../fhir/accepted-plan.ts'
import { noteOf } from '../fhir/derived.ts'
import { deviceRequest } from '../fhir/plan-resources.ts'
import type { DeviceRequest } from '../fhir/r4/types.ts'
import { stableId } from './stable-id.ts'
import type { VisitOf } from './visit-versions.ts'

/**
 * For every device that is outgrown a proposal of the next one, linked to the request of the one before.
 * One per device and size: measured again and the same size, it is the same proposal.
 */
export const nextDevices = (
  { visit: { found, derived, worn, rules }, day }: VisitOf,
  before: PlanBefore | undefined,
): (DeviceRequest & { readonly id: string })[] =>
  found.outgrown.flatMap(({ side, finding, proposal }) => {
    if (finding.holds !== 'yes' || proposal === undefined) return []
    const device = {
      side,
      sizing: proposal,
      materials: materials(proposal),
      shoe: shoeAdvice(rules),
    }
    const request = deviceRequest(device, { proposedOn: day }, derived)
    const prior = before?.devices[side]
    const size = proposal.size?.code ?? proposal.state
    const seed = ['next-device', derived.referral, worn.deliveredOn, prior ?? '', side, size]
    return [
      {
        ...request,
        id: stableId(seed.join('\n')),
        ...(prior === undefined ? {} : { priorRequest: [{ reference: prior }] }),
        note: [noteOf(derived)(say('part.next-device')), ...(request.note ?? [])],
      },
    ]
  })
