import { type Json, type Parts, smallReferral } from './referral.ts'
import { type Answer, keptAs, resource, type TestService, type Who } from './service.ts'

// A referral that both parties take through its states, over HTTP.

const BUSINESS_STATUS = 'https://footing.example/fhir/CodeSystem/business-status'
const TASK_DETAIL = 'https://footing.example/fhir/CodeSystem/task-detail'

export const reason = (text: string): Json => ({ statusReason: { text } })
export const businessStatus = (code: string): Json => ({
  businessStatus: { coding: [{ system: BUSINESS_STATUS, code }] },
})

export interface UnderWay {
  readonly task: string
  readonly request: string
  readonly patient: string
}

/** What a Task is changed to so that the referral goes to a state. */
export const TO: Readonly<Record<string, Json>> = {
  received: { status: 'received', ...businessStatus('in-triage') },
  waiting: { status: 'received', ...businessStatus('awaiting-information') },
  accepted: { status: 'accepted' },
  scheduled: { status: 'in-progress', ...businessStatus('scheduled') },
  missed: { status: 'in-progress', ...businessStatus('missed') },
  cancelledVisit: { status: 'in-progress', ...businessStatus('visit-cancelled') },
  done: { status: 'in-progress', ...businessStatus('visit-done') },
  hold: { status: 'on-hold', ...reason('The child is ill.') },
  completed: {
    status: 'completed',
    output: [
      {
        type: { coding: [{ system: TASK_DETAIL, code: 'reply' }] },
        valueString: 'Fitted; told by letter (invented).',
      },
    ],
  },
  rejected: { status: 'rejected', ...reason('No capacity.') },
  failed: { status: 'failed', ...reason('The family moved away.') },
  cancelled: { status: 'cancelled', ...reason('The family does not want it.') },
  error: { status: 'entered-in-error' },
}

export async function underWay(service: TestService, who: Who, key: string): Promise<UnderWay> {
  const parts: Parts = smallReferral({ key })
  const answer = await service.refer(who, parts)
  const place = (name: string) => keptAs(answer, parts, name)
  return { task: place('task'), request: place('referral'), patient: place('patient') }
}

/** Reads a resource, changes it and sends it back. A businessStatus that is not named is left out. */
export async function changeOf(
  service: TestService,
  who: Who,
  place: string,
  change: Json,
): Promise<Answer> {
  const url = `/fhir/${place}`
  const { businessStatus: _left, ...stands } = resource(await service.send(who, { url }))
  return service.send(who, { method: 'PUT', url, body: { ...stands, ...change } })
}
