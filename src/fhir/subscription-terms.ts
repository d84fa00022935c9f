import type { Extension, Subscription } from './r4/types.ts'

// The guide "Subscriptions R5 Backport" for R4: where it puts what R4 has no element for.

const GUIDE = 'http://hl7.org/fhir/uv/subscriptions-backport/StructureDefinition'

export const BACKPORT = {
  subscription: `${GUIDE}/backport-subscription`,
  status: `${GUIDE}/backport-subscription-status-r4`,
  notification: `${GUIDE}/backport-subscription-notification-r4`,
  topics: `${GUIDE}/capabilitystatement-subscriptiontopic-canonical`,
  filter: `${GUIDE}/backport-filter-criteria`,
  content: `${GUIDE}/backport-payload-content`,
  heartbeat: `${GUIDE}/backport-heartbeat-period`,
  timeout: `${GUIDE}/backport-timeout`,
  maxCount: `${GUIDE}/backport-max-count`,
} as const

export const CONTENTS = ['empty', 'id-only', 'full-resource'] as const
/** How much of what happened a notification tells. */
export type PayloadContent = (typeof CONTENTS)[number]

/** The time that an endpoint has to answer where the Subscription does not say it. */
const PRESET_TIMEOUT_S = 10
/** Events of one notification where the Subscription does not say it. */
const PRESET_MAX_COUNT = 10

/** What a Subscription asks for; of one that was checked. */
export interface SubscriptionTerms {
  readonly topic: string
  readonly filters: readonly string[]
  readonly content: PayloadContent
  readonly endpoint: string
  readonly headers: readonly (readonly [name: string, value: string])[]
  /** Seconds without a notification after which one says that all is well. */
  readonly heartbeatS: number | undefined
  readonly timeoutS: number
  readonly maxCount: number
  /** ISO instant after which nothing is sent. */
  readonly end: string | undefined
}

export const isContent = (text: string | undefined): text is PayloadContent =>
  CONTENTS.some((content) => content === text)

export function subscriptionTerms(subscription: Subscription): SubscriptionTerms {
  const { criteria, channel, end } = subscription
  const content = extensionsOf(channel._payload, BACKPORT.content)[0]?.valueCode
  const wholeOf = (url: string) => wholeIn(extensionsOf(channel, url)[0])
  return {
    topic: criteria,
    filters: extensionsOf(subscription._criteria, BACKPORT.filter).flatMap(
      ({ valueString }) => valueString ?? [],
    ),
    content: isContent(content) ? content : 'empty',
    endpoint: channel.endpoint ?? '',
    headers: (channel.header ?? []).flatMap((line) => {
      const header = line === null ? undefined : headerOf(line)
      return header === undefined ? [] : [header]
    }),
    heartbeatS: wholeOf(BACKPORT.heartbeat),
    timeoutS: wholeOf(BACKPORT.timeout) ?? PRESET_TIMEOUT_S,
    maxCount: wholeOf(BACKPORT.maxCount) ?? PRESET_MAX_COUNT,
    end,
  }
}

export const extensionsOf = (
  element: { readonly extension?: readonly Extension[] } | undefined,
  url: string,
): Extension[] => element?.extension?.filter((one) => one.url === url) ?? []

export const wholeIn = (extension: Extension | undefined): number | undefined =>
  extension?.valueUnsignedInt ?? extension?.valuePositiveInt

const HEADER = /^([A-Za-z][A-Za-z0-9-]{0,63}):([\t\x20-\x7e]{0,4000})$/

/** `Name: value`; undefined for anything else. */
export function headerOf(line: string): readonly [string, string] | undefined {
  const [, name, given] = HEADER.exec(line) ?? []
  const value = given?.trim()
  return name === undefined || value === undefined || value.includes('\t')
    ? undefined
    : [name, value]
}

export interface FilterText {
  /** The type that it names, if it names one. */
  readonly type: string | undefined
  readonly pairs: readonly (readonly [name: string, value: string])[]
}

/** `param=value`, `Type?param=value` or `Type.param=value`: the guide's text and its examples differ. */
export function filterText(text: string): FilterText {
  const [, type, query = ''] = /^(?:([A-Z][A-Za-z]*)[?.])?(.*)$/s.exec(text) ?? []
  return { type, pairs: [...new URLSearchParams(query)] }
}
