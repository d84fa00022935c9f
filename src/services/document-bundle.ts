import { AppError } from '../errors.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { readResource, readResources, type StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { noteShown } from './noted.ts'
import { readEntry } from './referral-record.ts'
import { reading } from './unit-of-work.ts'

interface BundleEntry {
  readonly fullUrl: string
  /** The resource, as it is sent. */
  readonly text: string
}

/** A Bundle of type document: the Composition first, then what it refers to (R4 3.3.1). */
export const documentBundle = (
  { id, at }: { readonly id: string; readonly at: string },
  entries: readonly BundleEntry[],
): string =>
  `{"resourceType":"Bundle","identifier":{"system":"urn:ietf:rfc:3986","value":"urn:uuid:${id}"},"type":"document","timestamp":"${at}","entry":[${entries
    .map(({ fullUrl, text }) => `{"fullUrl":${JSON.stringify(fullUrl)},"resource":${text}}`)
    .join(',')}]}`

/**
 * Composition/$document: the Composition with everything that it refers to, as far as the caller sees it, and
 * what those refer to where they are people and organisations. Nothing is stored.
 */
export function compositionDocument(context: Context, caller: Caller, id: string): Promise<string> {
  return reading(context, caller, [{ type: 'Composition', letter: 'r' }], async (tx) => {
    const { clinicId } = caller
    const stored = await readResource(tx, { clinicId, type: 'Composition', id })
    if (stored === undefined) throw new AppError('not-found', `Composition/${id} does not exist.`)
    if (stored.deleted) throw new AppError('deleted', `Composition/${id} was deleted.`)
    caller.call.touch({ type: 'Composition', id, did: 'read' }, stored.patientId)
    const all = [stored, ...(await referredTo(tx, context, clinicId, stored))]
    noteShown(caller, all)
    return documentBundle(
      { id, at: stored.updatedAt },
      all.map((one) => ({
        fullUrl: `${context.baseUrl}/${one.type}/${one.id}`,
        text: one.body,
      })),
    )
  })
}

const PEOPLE = new Set(['Practitioner', 'PractitionerRole', 'Organization'])

async function referredTo(
  tx: Tx,
  { baseUrl }: Context,
  clinicId: string,
  composition: StoredVersion,
): Promise<StoredVersion[]> {
  const known = new Map<string, StoredVersion>()
  let from: readonly Resource[] = [readEntry(composition).resource]
  while (from.length > 0) {
    const targets = from
      .flatMap((resource) => referencesIn(resource, resource.resourceType))
      .flatMap(({ reference }) => ownTarget(reference, baseUrl) ?? [])
      .filter(({ type, id }) => !known.has(`${type}/${id}`) && !isOther(type, id, composition))
      .filter(({ type }) => from[0]?.resourceType === 'Composition' || PEOPLE.has(type))
    if (targets.length === 0) break
    const found = (await readResources(tx, clinicId, targets)).filter(({ deleted }) => !deleted)
    const fresh = found.filter(({ type, id }) => !known.has(`${type}/${id}`))
    for (const one of fresh) known.set(`${one.type}/${one.id}`, one)
    from = fresh.map((one) => readEntry(one).resource)
  }
  return [...known.values()]
}

/** The Composition itself stands first already; one that it replaces is another document. */
const isOther = (type: string, id: string, composition: StoredVersion): boolean =>
  type === 'Composition' || (type === composition.type && id === composition.id)
