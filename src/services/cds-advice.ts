import { triage } from '../domain/triage.ts'
import type { Language } from '../domain/messages/catalogues.ts'
import { type Card, cardsOf } from '../fhir/cds-card.ts'
import { type PointOfCare, pointOfCare } from '../fhir/cds-record.ts'
import type { CdsService } from '../fhir/cds-services.ts'
import { writeJson } from '../fhir/decimal.ts'
import { toChild } from '../fhir/to-domain.ts'
import type { Caller } from '../security/access-token.ts'
import { type Basis, basisOf } from './basis.ts'
import { readCdsCall } from './cds-call.ts'
import type { Context } from './context.ts'
import { latestDay, today } from './day.ts'
import { currentDay, plausibly } from './referral-record.ts'
import { stableId } from './stable-id.ts'
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
  const child = pointOfCare(call, latestDay(context))
  const seed = [caller.clientId, service.id, call.hookInstance].join('\n')
  return writeJson({
    cards: cardsAt(context, basis, child, (found) =>
      cardsOf(found, {
        hook: service.hook,
        child,
        requester: call.userId.startsWith('Practitioner') ? call.userId : undefined,
        speaker: basis.speaker,
        page: `${context.baseUrl}/PlanDefinition/orthotic-referral`,
        idOf: (role) => stableId(`${seed}\n${role}`),
      }),
    ),
  })
}

function cardsAt(
  context: Context,
  { rules, chart }: Basis,
  { record, patient, patientId }: PointOfCare,
  said: (found: ReturnType<typeof triage>) => readonly Card[],
): readonly Card[] {
  const asOf = currentDay(context, { entries: record })
  const subject = { reference: `Patient/${patientId}`, resource: patient }
  // Nothing was referred yet, so nobody has waited.
  const child = toChild(record, subject, { receivedOn: today(context), asOf })
  return said(plausibly(() => triage(child, asOf, { rules, chart })))
}
