import type { DocumentFacts } from '../documents/document-facts.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { paperRecord } from '../fhir/paper-record.ts'
import type { DerivedContext } from '../fhir/derived.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { regimeOf } from '../storage/clients.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { AskedReferral } from './asked-referral.ts'
import { childInPictures } from './child-in-pictures.ts'
import { type Entry, plausibly, readEntry } from './referral-record.ts'
import { isStableId } from './stable-id.ts'

export interface FoundFacts {
  readonly facts: DocumentFacts
  readonly derived: DerivedContext
}

/** Everything that a document of a referral is made from. The transaction sees the whole clinic. */
export async function documentFacts(
  tx: Tx,
  caller: Caller,
  { context, record, day, basis }: AskedReferral,
): Promise<FoundFacts> {
  const { baseUrl, software } = context
  const { facts, derived } = plausibly(() => childInPictures(context, record, day, basis))
  const { partnerId } = record.referral.stored
  const known = await peopleOf(tx, caller.clinicId, record.entries, baseUrl)
  const paper = paperRecord({
    patient: record.patient.resource,
    referral: record.referral.resource,
    receivedOn: record.receivedOn,
    regime:
      partnerId === undefined
        ? 'unknown'
        : await regimeOf(tx, { clinicId: caller.clinicId, partnerId }),
    resources: record.entries.filter(isTold).map(({ resource }) => resource),
    find: (place) => known.get(place),
    baseUrl,
  })
  return {
    facts: {
      ...facts,
      record: paper,
      inputs: derived.inputs,
      software,
    },
    derived,
  }
}

/** What says of itself that it is a document of ours is believed only where we made it. */
const isTold = ({ stored: { type, id } }: Entry): boolean =>
  type !== 'DocumentReference' || isStableId(id)

const NAMING = new Set(['ServiceRequest', 'Patient', 'DeviceRequest', 'Coverage'])
const PEOPLE = new Set(['Practitioner', 'PractitionerRole', 'Organization'])

/** People and organisations that a record names, with those that their roles name. */
async function peopleOf(
  tx: Tx,
  clinicId: string,
  entries: readonly Entry[],
  baseUrl: string,
): Promise<ReadonlyMap<string, Resource>> {
  const known = new Map<string, Resource>()
  const from = entries.flatMap(({ stored, resource }) =>
    NAMING.has(stored.type) ? [resource] : [],
  )
  for (let next: readonly Resource[] = from; next.length > 0; ) {
    const found = await namedIn(tx, clinicId, next, baseUrl)
    next = found.filter(([place]) => !known.has(place)).map(([, resource]) => resource)
    for (const [place, resource] of found) known.set(place, resource)
  }
  return known
}

export async function namedIn(
  tx: Tx,
  clinicId: string,
  resources: readonly Resource[],
  baseUrl: string,
): Promise<readonly (readonly [place: string, resource: Resource])[]> {
  const targets = resources
    .flatMap((resource) => referencesIn(resource, resource.resourceType))
    .flatMap(({ reference }) => ownTarget(reference, baseUrl) ?? [])
    .filter(({ type }) => PEOPLE.has(type))
  const places = new Map(targets.map((target) => [`${target.type}/${target.id}`, target]))
  if (places.size === 0) return []
  const stored = await readResources(tx, clinicId, [...places.values()])
  return stored
    .filter(({ deleted }) => !deleted)
    .map((one) => [`${one.type}/${one.id}`, readEntry(one).resource] as const)
}
