import { addDays, type CivilDate } from '../domain/calendar.ts'
import type { Exchange, Regime } from '../domain/law/consent-gate.ts'
import type { ConsentOnRecord } from '../domain/law/consent-on-record.ts'
import { closedDays, type ReleaseDecision, releaseGate } from '../domain/law/release-gate.ts'
import { consentsOnRecord } from '../fhir/consents.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { regimeOf } from '../storage/clients.ts'
import {
  childrenOfConsentsNaming,
  ownersOf,
  type PartnersChild,
  replaceClosedSpans,
} from '../storage/closed-records.ts'
import { readOfChild } from '../storage/resources.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { seeCompartment, seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { isConsent, organisationsNamed, placeOf } from './consent-gate.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import type { Change } from './intake-triage.ts'
import { readEntry } from './referral-record.ts'
import { sightOf } from './sight.ts'

/**
 * May content about a child go to the partner whose copy this is, now? For whatever is sent without being
 * asked for; what a partner asks for is answered by what it sees, which follows the same decision. The
 * transaction sees the whole clinic.
 */
export async function mayReceive(
  tx: Tx,
  context: Context,
  { purpose, ...child }: PartnersChild & { readonly purpose: Exchange['purpose'] },
): Promise<ReleaseDecision> {
  const [owner] = await ownersOf(tx, child.clinicId, [child.patientId])
  if (owner?.partnerId !== child.partnerId) return NOT_ITS_OWN
  const [regime, consents] = await standing(tx, context, child)
  return releaseGate({ regime, purpose }, consents, today(context))
}

/** A partner learns of nobody but its own children. */
const NOT_ITS_OWN: ReleaseDecision = {
  rule: 'release-gate',
  holds: 'no',
  outcome: 'lacking',
  gates: [],
  counting: [],
  sources: ['judgement'],
}

/**
 * Says anew which records are closed to partners after something was written that consents are read by, in
 * the transaction that wrote it; after it the transaction sees what its caller may see.
 */
export async function settleConsents(
  tx: Tx,
  context: Context,
  caller: Caller,
  changes: readonly Change[],
): Promise<void> {
  const { clinicId } = caller
  const concerned = changes.filter(({ written: { stored } }) => changesConsents(stored))
  if (concerned.length > 0) {
    await seeWholeClinic(tx)
    const organisations = concerned.flatMap(({ written: { stored } }) =>
      stored.type === 'Organization' ? [stored] : [],
    )
    const named = await childrenOfConsentsNaming(tx, clinicId, organisations)
    const children = concerned.flatMap(({ written }) => written.stored.search.patientId ?? [])
    await settleChildren(tx, context, clinicId, [...new Set([...children, ...named])])
  }
  await seeCompartment(tx, sightOf(caller))
}

/** A consent, or whom one that is kept already may name. */
const changesConsents = ({ type, version }: NewVersion): boolean =>
  type === 'Consent' || (version > 1 && (type === 'RelatedPerson' || type === 'Organization'))

/** Says anew of some children when their record is closed. The transaction sees the whole clinic. */
export async function settleChildren(
  tx: Tx,
  context: Pick<Context, 'baseUrl' | 'now'>,
  clinicId: string,
  patientIds: readonly string[],
): Promise<void> {
  for (const child of await ownersOf(tx, clinicId, patientIds)) {
    const [regime, consents] = await standing(tx, context, child)
    const days = closedDays(regime, consents, today(context))
    const spans = days.map(({ first, last }) => ({
      since: startOf(first),
      until: last === 'open' ? undefined : startOf(addDays(last, 1)),
    }))
    await replaceClosedSpans(tx, child, spans)
  }
}

/** Days are those of UTC, as when content is received. */
const startOf = (day: CivilDate): string => `${day}T00:00:00.000Z`

/** The law of a partner and the consents of its child, also those that the clinic itself recorded. */
async function standing(
  tx: Tx,
  context: Pick<Context, 'baseUrl' | 'now'>,
  { clinicId, partnerId, patientId }: PartnersChild,
): Promise<readonly [Regime, readonly ConsentOnRecord[]]> {
  const regime = await regimeOf(tx, { clinicId, partnerId })
  const kept = await readOfChild(tx, clinicId, patientId, ['Consent', 'RelatedPerson'])
  const entries = kept.map(readEntry)
  const consents = entries.filter(isConsent)
  const named = await organisationsNamed(tx, context, clinicId, consents)
  const known = new Map([...named, ...entries].map((one) => [placeOf(one), one.resource] as const))
  const find = (place: string): Resource | undefined => known.get(place)
  const { baseUrl } = context
  const around = { baseUrl, clinicId, patientId, partnerId, find }
  return [regime, consentsOnRecord(consents, around)]
}
