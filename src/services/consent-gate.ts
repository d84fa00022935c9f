import { type Exchange, consentGate, gateOf, type Regime } from '../domain/law/consent-gate.ts'
import { AppError, type Fault } from '../errors.ts'
import { isChildContent } from '../fhir/child-content.ts'
import { childNotNamed, consentFaults } from '../fhir/consent-demands.ts'
import { consentsOnRecord } from '../fhir/consents.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { Consent, Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { regimeOf } from '../storage/clients.ts'
import { readOfChild, readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import type { Change } from './intake-triage.ts'
import { recordsOf } from './records.ts'
import { type Entry, readEntry } from './referral-record.ts'

/** What was sent and is about to be written. */
interface Incoming {
  readonly resourceAt: string
  readonly entry: Written
}

type Written = Entry & Pick<Change['written'], 'stored'>

/** A referral is sent to the clinic that runs this service, which treats the child. */
const exchangeUnder = (regime: Regime): Exchange => ({
  regime,
  recipient: 'orthotics-clinic',
  purpose: 'treatment',
})

/** The law that holds for what a caller sends; none for the clinic's own staff. */
export const regimeOfSender = async (
  tx: Tx,
  { clinicId, partnerId }: Caller,
): Promise<Regime | undefined> =>
  partnerId === undefined ? undefined : regimeOf(tx, { clinicId, partnerId })

/**
 * Refuses content of a child that its sender may not pass on: without a consent that counts on the day of
 * receipt, in the same request or on record in the sender's compartment. What exists already is not
 * received again. Called before the transaction sees the whole clinic.
 */
export async function refuseWithoutConsent(
  tx: Tx,
  context: Context,
  caller: Caller,
  sent: {
    readonly regime: Regime | undefined
    readonly changes: readonly Change[]
  },
): Promise<void> {
  const { regime } = sent
  if (regime === undefined || gateOf(exchangeUnder(regime)) === 'nothing') return
  const incoming = sent.changes.flatMap(({ resourceAt, written }): Incoming[] => {
    const { stored, reference, resource } = written
    return resource === undefined ? [] : [{ resourceAt, entry: { stored, reference, resource } }]
  })
  const touched = new Set(
    sent.changes.map(({ written: { stored } }) => `${stored.type}/${stored.id}`),
  )
  const content = incoming.filter(({ entry }) => isChildContent(entry.resource))
  const all = await childrenOf(tx, context, caller.clinicId, incoming)
  const childrenAt = (one: Incoming) => all.get(one) ?? []
  const faults: Fault[] = content
    .filter((one) => childrenAt(one).length === 0)
    .map(({ resourceAt }) => childNotNamed(resourceAt))
  for (const child of new Set(content.flatMap(childrenAt))) {
    const contentAt = content.find((one) => childrenAt(one).includes(child))?.resourceAt ?? ''
    const received = { child, contentAt, incoming, regime, touched }
    faults.push(...(await faultsOfChild(tx, context, caller, received)))
  }
  if (faults.length > 0)
    throw new AppError('business-rule', 'A consent is needed that is not on record.', faults)
}

/** Whom each is about: the child that it names, or those whose record it belongs to, as a Provenance does. */
async function childrenOf(
  tx: Tx,
  context: Context,
  clinicId: string,
  incoming: readonly Incoming[],
): Promise<ReadonlyMap<Incoming, readonly string[]>> {
  const stored = incoming.map(({ entry }) => entry.stored)
  const belonging = await recordsOf(tx, context, clinicId, stored)
  return new Map(
    incoming.map((one, index) => {
      const { patientId } = one.entry.stored.search
      const children = belonging[index]?.children ?? []
      return [one, patientId === undefined ? children : [patientId]] as const
    }),
  )
}

async function faultsOfChild(
  tx: Tx,
  context: Context,
  { clinicId, call }: Caller,
  received: {
    readonly child: string
    readonly contentAt: string
    readonly incoming: readonly Incoming[]
    readonly regime: Regime
    /** Everything that this request changes: what was on record of it counts no more. */
    readonly touched: ReadonlySet<string>
  },
): Promise<Fault[]> {
  const { child, contentAt, incoming, regime, touched } = received
  const own = incoming.map(({ entry }) => entry)
  const types = ['Consent', 'RelatedPerson']
  const kept = (await readOfChild(tx, clinicId, child, types))
    .filter(({ type, id }) => !touched.has(`${type}/${id}`))
    .map(readEntry)
  const sent = own.filter(({ stored }) => stored.search.patientId === child)
  const consents = [...kept, ...sent].filter(isConsent)
  const named = await organisationsNamed(tx, context, clinicId, consents)
  const known = new Map(
    [...named, ...kept, ...own].map((entry) => [placeOf(entry), entry.resource] as const),
  )
  const find = (place: string): Resource | undefined => known.get(place)
  const around = { baseUrl: context.baseUrl, clinicId, patientId: child, find }
  const read = consentsOnRecord(consents, around)
  const decision = consentGate(exchangeUnder(regime), read, today(context))
  call.decide(decision.holds === 'yes' ? 'permit' : 'deny')
  if (decision.holds === 'yes') return []
  const nearest = incoming.find(({ entry }) => entry.reference === decision.nearest)
  const consentAt = nearest?.resourceAt ?? 'Consent'
  return consentFaults(decision, { contentAt, consentAt, clinicId })
}

/** What the consents name that is about no child: the organisations that may receive. */
export async function organisationsNamed(
  tx: Tx,
  { baseUrl }: Pick<Context, 'baseUrl'>,
  clinicId: string,
  consents: readonly Entry<Consent>[],
): Promise<Entry[]> {
  const targets = consents.flatMap(({ resource }) =>
    referencesIn(resource.provision, '').flatMap(
      ({ reference }) => ownTarget(reference, baseUrl) ?? [],
    ),
  )
  const organisations = targets.filter(({ type }) => type === 'Organization')
  if (organisations.length === 0) return []
  return (await readResources(tx, clinicId, organisations)).map(readEntry)
}

export const isConsent = (entry: Entry): entry is Entry<Consent> =>
  entry.resource.resourceType === 'Consent'

export const placeOf = ({ stored }: Entry): string => `${stored.type}/${stored.id}`
