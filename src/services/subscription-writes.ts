import { AppError, type Fault } from '../errors.ts'
import type { Resource, Subscription } from '../fhir/r4/types.ts'
import { subscriptionTerms } from '../fhir/subscription-terms.ts'
import { topicOf } from '../fhir/subscription-topics.ts'
import type { Caller } from '../security/access-token.ts'
import { allows, scopeText } from '../security/scopes.ts'
import { watchType } from '../storage/subscription-events.ts'
import { forgetSubscription, keepSubscription } from '../storage/subscription-states.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import type { Change } from './intake-triage.ts'
import type { Content } from './new-contents.ts'
import { mayBeCalled } from './outgoing-request.ts'
import { readEntry } from './referral-record.ts'

/** Ports of web servers: no other is called of a machine that the operator did not name. */
const WEB_PORTS: ReadonlySet<string> = new Set(['', '443', '8443'])

/** May notifications be sent there, as far as the address itself says it? */
export const mayBeNotified = (endpoint: string, origins: readonly string[]): boolean =>
  mayBeCalled(endpoint, origins) &&
  (origins.includes(new URL(endpoint).origin) || WEB_PORTS.has(new URL(endpoint).port))

/**
 * The status of a Subscription is the service's: whoever writes one asks for it, or turns it off. Whatever else
 * is changed, its endpoint must show anew that it answers.
 */
export function withOwnStatus(
  context: Context,
  caller: Caller,
  contents: readonly Content[],
): Content[] {
  const faults = contents.flatMap(({ resource, operation: { resourceAt }, current }) =>
    statusFaults(context, { resource, resourceAt, current }),
  )
  if (faults.length > 0)
    throw new AppError('business-rule', 'The subscription cannot be served.', faults)
  return contents.map((content) => {
    if (content.resource?.resourceType !== 'Subscription') return content
    refuseUnread(caller, content.resource, content.operation.resourceAt)
    return { ...content, resource: asked(content.resource) }
  })
}

/** As it is asked for, or turned off: without what became of it. */
export function asked({
  error: _error,
  _error: _hidden,
  ...subscription
}: Subscription): Subscription {
  return { ...subscription, status: subscription.status === 'off' ? 'off' : 'requested' }
}

/** What keeps a Subscription from being asked for so; nothing of any other resource. */
export function statusFaults(
  { notifyOrigins, now }: Pick<Context, 'notifyOrigins' | 'now'>,
  {
    resource,
    resourceAt: at,
    current,
  }: Pick<Content, 'resource' | 'current'> & { readonly resourceAt: string },
): Fault[] {
  if (resource?.resourceType !== 'Subscription') return []
  const { status, channel, end } = resource
  const before = current === undefined || current.deleted ? undefined : readEntry(current).resource
  const allowed = before === undefined ? ['requested'] : ['requested', 'off', statusOf(before)]
  return [
    ...(allowed.includes(status)
      ? []
      : [
          refused(
            `${at}.status`,
            'subscription-status',
            'Ask for a subscription as requested, turn it off as off; the other states are set by the service.',
          ),
        ]),
    ...(status === 'off' || end === undefined || Date.parse(end) > now().getTime()
      ? []
      : [
          refused(
            `${at}.end`,
            'subscription-end',
            'The subscription would be over before it begins: name a later end, or none (R4 Subscription.end).',
          ),
        ]),
    ...(mayBeNotified(channel.endpoint ?? '', notifyOrigins)
      ? []
      : [
          refused(
            `${at}.channel.endpoint`,
            'subscription-endpoint',
            'Notifications go over HTTPS to a host of the open Internet, port 443 or 8443, or to an origin that the operator of this service named.',
          ),
        ]),
  ]
}

const statusOf = (resource: Resource): string | undefined =>
  resource.resourceType === 'Subscription' ? resource.status : undefined

const refused = (expression: string, rule: string, text: string): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression,
  rule,
  text,
})

/** Nobody is told of what he may not read. */
function refuseUnread({ scopes }: Caller, { criteria }: Subscription, at: string): void {
  const type = topicOf(criteria)?.type
  if (type === undefined || allows(scopes, type, 'r')) return
  throw new AppError('scope-missing', 'The token does not allow this.', [
    {
      severity: 'error',
      code: 'forbidden',
      expression: `${at}.criteria`,
      rule: 'scope',
      text: `The scope system/${type}.r is needed: the topic is about resources of this type.`,
    },
  ])
}

/** What was written of Subscriptions counts from the end of this transaction on. */
export async function settleSubscriptions(
  tx: Tx,
  { now }: Context,
  { clinicId, clientId, scopes }: Caller,
  changes: readonly Change[],
): Promise<void> {
  for (const { written } of changes) {
    const { stored, resource } = written
    if (stored.type !== 'Subscription') continue
    if (resource?.resourceType !== 'Subscription') {
      await forgetSubscription(tx, { clinicId, subscriptionId: stored.id })
      continue
    }
    const { topic: named, filters } = subscriptionTerms(resource)
    const topic = topicOf(named)
    if (topic === undefined) throw new Error('A Subscription of no topic was taken')
    await watchType(tx, clinicId, topic.type)
    const isAsked = resource.status === 'requested'
    const at = now().toISOString()
    await keepSubscription(
      tx,
      {
        clinicId,
        subscriptionId: stored.id,
        partnerId: stored.partnerId ?? null,
        clientId,
        scope: scopeText(scopes),
        topic: topic.url,
        filters: JSON.stringify(filters),
        status: resource.status,
      },
      { at, dueAt: isAsked ? at : undefined },
    )
  }
}
