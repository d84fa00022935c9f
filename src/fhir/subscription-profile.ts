import { AppError, type Fault } from '../errors.ts'
import { parseQuery, type Query } from './query.ts'
import { profileFault as fault } from './observation-profile.ts'
import type { Subscription, SubscriptionChannel } from './r4/types.ts'
import { rowOf } from './registry.ts'
import {
  BACKPORT,
  CONTENTS,
  extensionsOf,
  filterText,
  headerOf,
  isContent,
  wholeIn,
} from './subscription-terms.ts'
import { type Topic, TOPIC_VERSION, topicOf, TOPICS } from './subscription-topics.ts'

export const PAYLOAD_TYPE = 'application/fhir+json'
const MOST_FILTERS = 10
const MOST_HEADERS = 10
const LONGEST_TIMEOUT_S = 60
/** Shorter ones would only tell that the service looks at it often. */
const SHORTEST_HEARTBEAT_S = 10
const LONGEST_HEARTBEAT_S = 31_536_000
const MOST_EVENTS = 100

/** What the service writes itself, and what says how a message ends. */
const OUR_HEADERS: ReadonlySet<string> = new Set(
  (
    'host content-type content-length content-digest content-encoding connection transfer-encoding te ' +
    'trailer upgrade expect keep-alive date user-agent proxy-authorization proxy-connection x-jws-signature'
  ).split(' '),
)

/** What the service can do of the guide's profile; the rest is refused, so that nobody waits in vain. */
export function subscriptionFaults(subscription: Subscription, at: string): Fault[] {
  const topic = topicOf(subscription.criteria)
  return [
    ...(topic === undefined ? [topicFault(at)] : filterFaults(subscription, topic, at)),
    ...channelFaults(subscription.channel, `${at}.channel`),
  ]
}

const topicFault = (at: string): Fault =>
  fault(
    `${at}.criteria`,
    'subscription-topic',
    `The canonical of a topic of this service is needed, without a version or with ${TOPIC_VERSION}: ${TOPICS.map(({ url }) => url).join(', ')}.`,
    'not-supported',
  )

function filterFaults({ _criteria }: Subscription, topic: Topic, at: string): Fault[] {
  const extensions = _criteria?.extension ?? []
  const faults = extensions.flatMap((extension, index): Fault[] => {
    if (extension.url !== BACKPORT.filter) return []
    const place = `${at}.criteria.extension[${index}].value`
    const refused = filterRefusal(extension.valueString ?? '', topic)
    return refused === undefined
      ? []
      : [fault(place, 'subscription-filter', refused, 'not-supported')]
  })
  if (extensions.length <= MOST_FILTERS) return faults
  const text = `A subscription has at most ${MOST_FILTERS} filters.`
  return [...faults, fault(`${at}.criteria`, 'subscription-filter', text, 'too-costly')]
}

function filterRefusal(text: string, topic: Topic): string | undefined {
  const { type, pairs } = filterText(text)
  if (type !== undefined && type !== topic.type)
    return `The topic is about resources of type ${topic.type}.`
  if (pairs.length === 0) return 'A filter is written parameter=value.'
  const unknown = pairs.some(([name]) => !topic.filters.includes(name.split(':')[0] ?? ''))
  if (unknown) return `The topic can be filtered by ${topic.filters.join(', ')}.`
  try {
    filterQuery(text, topic, { baseUrl: '', now: '2000-01-01T00:00:00.000Z' })
    return undefined
  } catch (error) {
    if (!(error instanceof AppError)) throw error
    return error.faults[0]?.text ?? error.message
  }
}

/** A filter as the search that it is. Throws AppError when it cannot be read. */
export function filterQuery(
  text: string,
  topic: Topic,
  reading: { readonly baseUrl: string; readonly now: string },
): Query {
  const row = rowOf(topic.type)
  if (row === undefined) throw new Error('A topic is about a type that is not kept')
  return parseQuery(row, filterText(text).pairs, { ...reading, handling: 'strict' })
}

function channelFaults(channel: SubscriptionChannel, at: string): Fault[] {
  return [
    ...(channel.type === 'rest-hook'
      ? []
      : [fault(`${at}.type`, 'subscription-channel', 'rest-hook is needed.', 'not-supported')]),
    ...(channel.endpoint !== undefined && URL.canParse(channel.endpoint)
      ? []
      : [fault(`${at}.endpoint`, 'subscription-endpoint', 'The URL is needed.', 'required')]),
    ...payloadFaults(channel, at),
    ...headerFaults(channel, at),
    ...periodFaults(channel, at),
  ]
}

function payloadFaults({ payload, _payload }: SubscriptionChannel, at: string): Fault[] {
  const contents = extensionsOf(_payload, BACKPORT.content)
  const place = `${at}.payload`
  return [
    ...(payload === PAYLOAD_TYPE
      ? []
      : [fault(place, 'subscription-payload', `${PAYLOAD_TYPE} is needed.`, 'not-supported')]),
    ...(contents.length === 1 && isContent(contents[0]?.valueCode)
      ? []
      : [
          fault(
            `${place}.extension`,
            'subscription-content',
            `One extension ${BACKPORT.content} is needed: ${CONTENTS.join(', ')}.`,
            'not-supported',
          ),
        ]),
  ]
}

function headerFaults({ header = [] }: SubscriptionChannel, at: string): Fault[] {
  const faults = header.flatMap((line, index): Fault[] => {
    const parsed = line === null ? undefined : headerOf(line)
    if (parsed !== undefined && !OUR_HEADERS.has(parsed[0].toLowerCase())) return []
    const text =
      parsed === undefined ? 'A header is written Name: value.' : 'The service sets this header.'
    return [fault(`${at}.header[${index}]`, 'subscription-header', text, 'value')]
  })
  if (header.length <= MOST_HEADERS) return faults
  const text = `A subscription has at most ${MOST_HEADERS} headers.`
  return [...faults, fault(`${at}.header`, 'subscription-header', text, 'too-costly')]
}

const PERIODS = [
  { url: BACKPORT.heartbeat, from: SHORTEST_HEARTBEAT_S, to: LONGEST_HEARTBEAT_S, of: 'seconds' },
  { url: BACKPORT.timeout, from: 1, to: LONGEST_TIMEOUT_S, of: 'seconds' },
  { url: BACKPORT.maxCount, from: 1, to: MOST_EVENTS, of: 'events' },
]

function periodFaults({ extension = [] }: SubscriptionChannel, at: string): Fault[] {
  return extension.flatMap((one, index): Fault[] => {
    const period = PERIODS.find(({ url }) => url === one.url)
    const value = wholeIn(one)
    if (period === undefined) return []
    if (value !== undefined && value >= period.from && value <= period.to) return []
    const place = `${at}.extension[${index}].value`
    const text = `${period.from} to ${period.to} ${period.of} are taken.`
    return [fault(place, 'subscription-period', text, 'not-supported')]
  })
}
