import type {
  AnyResource,
  Bundle,
  BundleEntry,
  OperationOutcome,
  Parameters,
  ParametersParameter,
} from './r4/types.ts'
import { BACKPORT, type PayloadContent } from './subscription-terms.ts'

export type NotificationType =
  | 'handshake'
  | 'heartbeat'
  | 'event-notification'
  | 'query-status'
  | 'query-event'

/** Where a subscription stands, as it is told. */
export interface ToldStatus {
  readonly subscriptionId: string
  readonly topic: string
  readonly status: string
  readonly lastNumber: number
  /** A code of subscription-error. */
  readonly error?: string | undefined
}

/** An event as it is told: what it is about, with as much of it as may be seen. */
export interface ToldEvent {
  readonly number: number
  /** ISO instant in UTC. */
  readonly at: string
  readonly type: string
  readonly id: string
  readonly version: number
  readonly resource: AnyResource
}

export interface Telling {
  readonly baseUrl: string
  /** Stable UUIDs made of a text. */
  readonly idOf: (text: string) => string
  /** ISO instant in UTC. */
  readonly now: string
}

export const ERROR_SYSTEM = 'http://terminology.hl7.org/CodeSystem/subscription-error'

/**
 * A notification as R4 carries it: a Bundle of type history that begins with the status of the subscription.
 * The same events have the same ids again, so that a receiver knows what it has had already.
 */
export function notificationBundle(
  told: ToldStatus,
  type: NotificationType,
  { events, content }: { readonly events: readonly ToldEvent[]; readonly content: PayloadContent },
  telling: Telling,
): Bundle {
  // What tells of no event is never told again.
  const which = events.length === 0 ? telling.now : events.map(({ number }) => number).join(',')
  const id = telling.idOf(`notification ${told.subscriptionId} ${type} ${which} ${content}`)
  return {
    resourceType: 'Bundle',
    id,
    type: 'history',
    timestamp: telling.now,
    entry: [
      statusEntry(told, type, { events, content }, telling),
      ...(content === 'full-resource' ? events.map((event) => resourceEntry(event, telling)) : []),
    ],
  }
}

function statusEntry(
  told: ToldStatus,
  type: NotificationType,
  { events, content }: { readonly events: readonly ToldEvent[]; readonly content: PayloadContent },
  telling: Telling,
): BundleEntry {
  const parts = events.map((event) => eventParameter(event, content, telling))
  const resource = statusParameters(told, type, parts, telling)
  return {
    fullUrl: `urn:uuid:${resource.id}`,
    resource,
    request: { method: 'GET', url: `${addressOf(told, telling)}/$status` },
    response: { status: '200' },
  }
}

const addressOf = ({ subscriptionId }: ToldStatus, { baseUrl }: Telling): string =>
  `${baseUrl}/Subscription/${subscriptionId}`

/** Counters are strings: R4 has no integer of 64 bits. */
export function statusParameters(
  told: ToldStatus,
  type: NotificationType,
  events: readonly ParametersParameter[],
  telling: Telling,
): Parameters {
  const { topic, status, lastNumber, error } = told
  const numbers = events.map(({ part }) => part?.[0]?.valueString).join(',')
  const which = events.length === 0 ? telling.now : numbers
  return {
    resourceType: 'Parameters',
    id: telling.idOf(`status ${told.subscriptionId} ${type} ${which}`),
    meta: { profile: [BACKPORT.status] },
    parameter: [
      { name: 'subscription', valueReference: { reference: addressOf(told, telling) } },
      { name: 'topic', valueCanonical: topic },
      { name: 'status', valueCode: status },
      { name: 'type', valueCode: type },
      { name: 'events-since-subscription-start', valueString: String(lastNumber) },
      ...events,
      ...(error === undefined
        ? []
        : [
            {
              name: 'error',
              valueCodeableConcept: { coding: [{ system: ERROR_SYSTEM, code: error }] },
            },
          ]),
    ],
  }
}

const eventParameter = (
  { number, at, type, id }: ToldEvent,
  content: PayloadContent,
  { baseUrl }: Telling,
): ParametersParameter => ({
  name: 'notification-event',
  part: [
    { name: 'event-number', valueString: String(number) },
    { name: 'timestamp', valueInstant: at },
    ...(content === 'empty'
      ? []
      : [{ name: 'focus', valueReference: { reference: `${baseUrl}/${type}/${id}` } }]),
  ],
})

const resourceEntry = (
  { type, id, version, resource }: ToldEvent,
  { baseUrl }: Telling,
): BundleEntry => ({
  fullUrl: `${baseUrl}/${type}/${id}`,
  resource,
  request: version === 1 ? { method: 'POST', url: type } : { method: 'PUT', url: `${type}/${id}` },
  response: { status: version === 1 ? '201' : '200' },
})

/** The same, saying that what was asked for is not all kept. */
export function withoutEventsBefore({ entry = [], ...bundle }: Bundle, first: number): Bundle {
  const [status, ...events] = entry
  const text = `Events before number ${first} are no longer kept. Read the resources themselves.`
  const outcome: OperationOutcome = {
    resourceType: 'OperationOutcome',
    issue: [{ severity: 'information', code: 'informational', details: { text } }],
  }
  return {
    ...bundle,
    entry: [{ ...status, response: { status: '200', outcome } }, ...events],
  }
}

/** The answer of $status: one status for each subscription. */
export const statusBundle = (statuses: readonly ToldStatus[], telling: Telling): Bundle => ({
  resourceType: 'Bundle',
  type: 'searchset',
  total: statuses.length,
  entry: statuses.map((told): BundleEntry => {
    const resource = statusParameters(told, 'query-status', [], telling)
    return { fullUrl: `urn:uuid:${resource.id}`, resource, search: { mode: 'match' } }
  }),
})
