import type { Language } from '../domain/messages/catalogues.ts'
import { cardsOf } from '../fhir/cds-card.ts'
import { draftReferrals, pointOfCare } from '../fhir/cds-record.ts'
import type { CdsService } from '../fhir/cds-services.ts'
import { REFERRAL_PLAN } from '../fhir/conformance/referral-plan.ts'
import { writeJson } from '../fhir/decimal.ts'
import type { Caller } from '../security/access-token.ts'
import { basisOf } from './basis.ts'
import { readCdsCall } from './cds-call.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { stableId } from './stable-id.ts'
import { unreferredTriage } from './unreferred-triage.ts'
import { reading } from './unit-of-work.ts'

/** Whoever may send a referral may ask whether one is due. */
export const CDS_NEEDS = [{ type: 'ServiceRequest', letter: 'c' }] as const

interface Asked {
  readonly service: CdsService
  readonly body: unknown
  readonly language: Language
}

/**
 * What is to be said of a child at the point of care, as the JSON of CDS Hooks. The record passes through the
 * computation and nothing of it is kept: the log says who asked, by which hook, about which patient.
 */
export async function advise(
  context: Context,
  caller: Caller,
  { service, body, language }: Asked,
): Promise<string> {
  const call = readCdsCall(service.hook, body)
  caller.call.ask({ 'context.patientId': call.patientId, 'context.userId': call.userId })
  const basis = await reading(context, caller, CDS_NEEDS, (tx) =>
    basisOf(tx, context, caller, { language }),
  )
  const drafts = draftReferrals(call.draftOrders)
  // Orders of others are none of ours: nothing that might have come with them is missed.
  if (service.hook === 'order-sign' && drafts.length === 0) return writeJson({ cards: [] })
  const child = pointOfCare({ ...call, drafts }, latestDay(context))
  const found = unreferredTriage(context, basis, child)
  const seed = [caller.clientId, service.id, call.hookInstance].join('\n')
  return writeJson({
    cards: cardsOf(found, {
      hook: service.hook,
      child,
      requester: call.userId.startsWith('Practitioner') ? call.userId : undefined,
      speaker: basis.speaker,
      page: `${context.baseUrl}/PlanDefinition/${REFERRAL_PLAN}`,
      idOf: (role) => stableId(`${seed}\n${role}`),
    }),
  })
}
