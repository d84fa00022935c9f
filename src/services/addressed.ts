import { AppError, type Fault } from '../errors.ts'
import { type Addressed, addressesOf, isPrepared, recipientsOf } from '../fhir/recipients.ts'
import { isReferralTask } from '../fhir/referral-task.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { Reference } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { partnersOf } from '../storage/clients.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { carriedBy, carriedFaults, partnerFault } from './carried.ts'
import type { Context } from './context.ts'
import type { Content } from './new-contents.ts'
import { readEntry } from './referral-record.ts'

interface Message extends Content {
  readonly resource: Addressed
}

/**
 * What staff address to a partner is written into that partner's compartment, so that it is read there and told
 * to its subscribers: a message by its recipients, a Task by its owner; with it the documents that it carries. It
 * goes to one partner, from its creation on: who else knows the child is nobody's business. The Task of a referral
 * is its sender's already, whoever owns it.
 */
export async function withAddressees(
  tx: Tx,
  context: Context,
  caller: Caller,
  contents: readonly Content[],
): Promise<readonly Content[]> {
  const messages = contents.filter(isMessage)
  if (caller.partnerId !== undefined || messages.length === 0) return contents
  const named = await partnersNamed(tx, context, caller, { contents, messages })
  refuse([...named].flatMap(([message, recipients]) => addressFaults(message, recipients)))
  const partners = new Map<Content, string>()
  for (const [message, [first]] of named) {
    if (first?.partnerId === undefined || message.current !== undefined) continue
    for (const one of [message, ...carriedBy(message, contents, context.baseUrl)]) {
      const other = partners.get(one)
      if (other !== undefined && other !== first.partnerId) refuse([shared(one)])
      partners.set(one, first.partnerId)
    }
  }
  const addressed = contents.map((one) => {
    const forPartner = partners.get(one)
    return forPartner === undefined ? one : { ...one, forPartner }
  })
  refuse(await carriedFaults(tx, context, caller, addressed))
  return addressed
}

const isMessage = (content: Content): content is Message =>
  content.resource?.resourceType === 'Communication' ||
  (content.resource?.resourceType === 'Task' && !isReferralTask(content.resource))

interface Named {
  readonly expression: string
  /** Undefined for a partner's name that is nobody's here. */
  readonly partnerId: string | undefined
}

/** The partners that each message goes to, by the clinic's name for them or by what they sent of themselves. */
async function partnersNamed(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  { contents, messages }: { contents: readonly Content[]; messages: readonly Message[] },
): Promise<ReadonlyMap<Message, readonly Named[]>> {
  const registered = new Set((await partnersOf(tx, clinicId)).map(({ partnerId }) => partnerId))
  const targets = messages.flatMap(({ resource }) =>
    addressesOf(resource, '').flatMap(({ to }) => ownTarget(to.reference, baseUrl) ?? []),
  )
  const kept = targets.length === 0 ? [] : await readResources(tx, clinicId, targets)
  const known = new Map([
    ...kept.map((one) => {
      const { partnerId, deleted } = one
      const resource = deleted ? undefined : readEntry(one).resource
      return [`${one.type}/${one.id}`, { partnerId, resource }] as const
    }),
    ...contents.map(({ id, operation: { type }, current, resource }) => {
      const partnerId = current?.partnerId
      return [`${type}/${id}`, { partnerId, resource }] as const
    }),
  ])
  const find = ({ reference }: Reference) => {
    const target = ownTarget(reference, baseUrl)
    return target === undefined ? undefined : known.get(`${target.type}/${target.id}`)
  }
  return new Map(
    messages.map((message) => [
      message,
      recipientsOf(message.resource, message.operation.resourceAt, find).map(
        ({ expression, partnerId }) => ({
          expression,
          partnerId: registered.has(partnerId) ? partnerId : undefined,
        }),
      ),
    ]),
  )
}

function addressFaults(
  { resource, operation: { resourceAt: at }, current }: Message,
  recipients: readonly Named[],
): Fault[] {
  const [first] = recipients
  if (first === undefined) return []
  const unknown = recipients.filter(({ partnerId }) => partnerId === undefined)
  if (unknown.length > 0)
    return unknown.map(({ expression }) =>
      partnerFault(expression, 'No partner of this clinic is registered under this identifier.'),
    )
  const owner = current === undefined ? first.partnerId : current.partnerId
  if (owner === undefined)
    return [
      partnerFault(first.expression, 'It goes to a partner when it is created: create it anew.'),
    ]
  const others = recipients.filter(({ partnerId }) => partnerId !== owner)
  if (others.length > 0)
    return others.map(({ expression }) =>
      partnerFault(expression, 'A partner must not learn of another one: send each its own.'),
    )
  return current === undefined && isPrepared(resource)
    ? [
        partnerFault(
          `${at}.status`,
          'A partner reads it from its creation on: in preparation, or as a draft, it names no partner.',
        ),
      ]
    : []
}

const shared = ({ operation: { resourceAt } }: Content): Fault =>
  partnerFault(resourceAt, 'Messages to two partners carry it: send each its own.')

function refuse(faults: readonly Fault[]): void {
  if (faults.length > 0)
    throw new AppError('business-rule', 'This cannot go to a partner so.', [...faults])
}
