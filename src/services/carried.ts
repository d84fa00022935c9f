import type { Fault } from '../errors.ts'
import { ownTarget, type Target } from '../fhir/literal-reference.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { searchValues } from '../fhir/search-values.ts'
import type { Caller } from '../security/access-token.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import type { Content } from './new-contents.ts'

const placeOf = ({ type, id }: Target): string => `${type}/${id}`
const contentPlace = ({ operation: { type }, id }: Content): string => placeOf({ type, id })

/** What is created together with a message or Task and goes with it: the documents that it names, and their bytes. */
export function carriedBy(
  message: Content,
  contents: readonly Content[],
  baseUrl: string,
): Content[] {
  const created = new Map(
    contents.filter(({ does }) => does === 'create').map((one) => [contentPlace(one), one]),
  )
  const among = (references: readonly (string | undefined)[]): Content[] =>
    references.flatMap((reference) => {
      const target = ownTarget(reference, baseUrl)
      return target === undefined ? [] : (created.get(placeOf(target)) ?? [])
    })
  const documents = among(payloadOf(message.resource))
  return [...documents, ...documents.flatMap(({ resource }) => among(bytesOf(resource)))]
}

function payloadOf(resource: Resource | undefined): (string | undefined)[] {
  if (resource?.resourceType === 'Communication')
    return (resource.payload ?? []).map(({ contentReference }) => contentReference?.reference)
  return resource?.resourceType === 'Task'
    ? (resource.input ?? []).map(({ valueReference }) => valueReference?.reference)
    : []
}

/** What the reader is to have, and not only who or what else it is about. */
const isCarried = (expression: string): boolean => /\.(?:payload|input)\[/.test(expression)

const bytesOf = (resource: Resource | undefined): (string | undefined)[] =>
  resource?.resourceType === 'DocumentReference'
    ? resource.content.map(({ attachment }) => attachment.url)
    : []

interface Known {
  readonly partnerId: string | undefined
  readonly isAboutChild: boolean
}

/**
 * What goes to a partner leads to nothing about a child that the partner does not see, and names its child where
 * it leads to something about it: by the child the law decides whether it may go there.
 */
export async function carriedFaults(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  contents: readonly Content[],
): Promise<Fault[]> {
  const going = contents.filter(({ forPartner }) => forPartner !== undefined)
  const targets = going.flatMap((one) => leadsOf(one, baseUrl).map(({ target }) => target))
  const kept = targets.length === 0 ? [] : await readResources(tx, clinicId, targets)
  const known = new Map<string, Known>([
    ...kept.map(({ type, id, partnerId, patientId }): [string, Known] => [
      placeOf({ type, id }),
      { partnerId, isAboutChild: type === 'Patient' || patientId !== undefined },
    ]),
    ...contents
      .filter(({ does }) => does === 'create')
      .map((one): [string, Known] => [
        contentPlace(one),
        { partnerId: one.forPartner, isAboutChild: childOf(one, baseUrl) !== undefined },
      ]),
  ])
  return going.flatMap((one) => faultsOf(one, known, baseUrl))
}

function faultsOf(one: Content, known: ReadonlyMap<string, Known>, baseUrl: string): Fault[] {
  const { forPartner, resource, operation } = one
  const leads = leadsOf(one, baseUrl).flatMap(({ expression, target }) => {
    const found = known.get(placeOf(target))
    return found === undefined ? [] : [{ expression, ...found }]
  })
  const closed = leads.filter(
    ({ expression, partnerId, isAboutChild }) =>
      partnerId !== forPartner &&
      (partnerId !== undefined || isAboutChild || isCarried(expression)),
  )
  const at = operation.resourceAt
  const subject = resource?.resourceType === 'Task' ? 'for' : 'subject'
  const isUnnamed =
    leads.some(({ isAboutChild }) => isAboutChild) && childOf(one, baseUrl) === undefined
  return [
    ...closed.map(({ expression }) =>
      partnerFault(expression, 'The partner does not see this. Send it along in the same Bundle.'),
    ),
    ...(isUnnamed && resource?.resourceType !== 'Binary'
      ? [partnerFault(`${at}.${subject}`, 'Name the child: the law of the partner depends on it.')]
      : []),
    ...(resource?.resourceType === 'Binary' && resource.securityContext === undefined
      ? [partnerFault(`${at}.securityContext`, 'Name the document that this belongs to.')]
      : []),
  ]
}

function leadsOf({ resource, operation: { resourceAt } }: Content, baseUrl: string) {
  return referencesIn(resource, resourceAt).flatMap(({ expression, reference }) => {
    const target = ownTarget(reference, baseUrl)
    return target === undefined ? [] : [{ expression, target }]
  })
}

const childOf = (
  { resource, id, operation: { type } }: Content,
  baseUrl: string,
): string | undefined => {
  if (type === 'Patient') return id
  return resource === undefined
    ? undefined
    : searchValues({ type, id, baseUrl }, resource).patientId
}

export const partnerFault = (expression: string, text: string): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression,
  rule: 'partner-compartment',
  text,
})
