import { createServer, type IncomingHttpHeaders } from 'node:http'
import type { AddressInfo } from 'node:net'
import { z } from 'zod'
import { dispatch } from '../../src/services/notification-dispatch.ts'
import { deliver } from '../../src/services/notification-delivery.ts'
import type { Sender } from '../../src/services/notification-sending.ts'
import { openExchange } from '../../src/services/outgoing-request.ts'
import type { Json } from './referral.ts'
import { BASE, type Sent, type TestService, testService, type Who } from './service.ts'

// Subscriptions of invented systems, and an endpoint on loopback that notes what it is told.

const GUIDE = 'http://hl7.org/fhir/uv/subscriptions-backport/StructureDefinition'
export const TOPIC = 'https://footing.example/fhir/SubscriptionTopic'
export const ISSUER = 'urn:footing:local'

export interface Received {
  readonly path: string
  readonly headers: IncomingHttpHeaders
  readonly text: string
}

export interface Receiver {
  readonly origin: string
  readonly received: Received[]
  /** The status of the next answers; undefined: the connection is cut. */
  answer: (received: Received) => number | undefined
  /** What came to an address. */
  at(path: string): Received[]
  readonly close: () => Promise<void>
}

export async function receiver(): Promise<Receiver> {
  const received: Received[] = []
  const server = createServer((request, response) => {
    let text = ''
    request.setEncoding('utf8')
    request.on('data', (part: string) => {
      text += part
    })
    request.on('end', () => {
      const one = { path: request.url ?? '', headers: request.headers, text }
      received.push(one)
      const status = self.answer(one)
      if (status === undefined) response.destroy()
      // Where a redirect would lead.
      else response.writeHead(status, { location: `${self.origin}/elsewhere` }).end()
    })
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  const self: Receiver = {
    origin: `http://127.0.0.1:${port}`,
    received,
    answer: () => 200,
    at: (path) => received.filter((one) => one.path === path),
    close: () => new Promise((resolve) => server.close(() => resolve())),
  }
  return self
}

export interface Asked {
  readonly topic?: string
  readonly content?: string
  readonly filters?: readonly string[]
  readonly heartbeatS?: number
  readonly maxCount?: number
  readonly header?: readonly string[]
  readonly end?: string
}

export const subscription = (
  endpoint: string,
  { topic = 'referral-changed', content = 'id-only', filters = [], ...asked }: Asked = {},
): Json => ({
  resourceType: 'Subscription',
  status: 'requested',
  reason: 'An invented system wants to know',
  ...(asked.end === undefined ? {} : { end: asked.end }),
  criteria: `${TOPIC}/${topic}`,
  ...(filters.length === 0
    ? {}
    : {
        _criteria: {
          extension: filters.map((valueString) => ({
            url: `${GUIDE}/backport-filter-criteria`,
            valueString,
          })),
        },
      }),
  channel: {
    ...(asked.heartbeatS === undefined && asked.maxCount === undefined
      ? {}
      : {
          extension: [
            ...(asked.heartbeatS === undefined
              ? []
              : [
                  {
                    url: `${GUIDE}/backport-heartbeat-period`,
                    valueUnsignedInt: asked.heartbeatS,
                  },
                ]),
            ...(asked.maxCount === undefined
              ? []
              : [{ url: `${GUIDE}/backport-max-count`, valuePositiveInt: asked.maxCount }]),
          ],
        }),
    type: 'rest-hook',
    endpoint,
    payload: 'application/fhir+json',
    _payload: { extension: [{ url: `${GUIDE}/backport-payload-content`, valueCode: content }] },
    ...(asked.header === undefined ? {} : { header: asked.header }),
  },
})

export const senderOf = ({ service }: TestService, origins: readonly string[]): Sender => ({
  exchange: openExchange(origins),
  tokens: service.tokens,
  issuer: ISSUER,
  random: () => 1,
})

export interface Telling {
  readonly service: TestService
  readonly endpoint: Receiver
  readonly sender: Sender
  readonly close: () => Promise<void>
}

/** A service that may tell an endpoint on loopback, and who does the telling. */
export async function tellingService(): Promise<Telling> {
  const endpoint = await receiver()
  const service = await testService({ notifyOrigins: [endpoint.origin] })
  return {
    service,
    endpoint,
    sender: senderOf(service, [endpoint.origin]),
    close: async () => {
      await service.close()
      await endpoint.close()
    },
  }
}

/** Tells everybody what there is to tell now. */
export async function tell(service: TestService, sender: Sender): Promise<void> {
  const { context } = service.service
  await dispatch(context, (key) => deliver(context, sender, key))
}

const Created = z.object({ id: z.string() })

/** Its id. */
export async function subscribed(service: TestService, who: Who, body: Json): Promise<string> {
  const sent: Sent = { method: 'POST', url: '/fhir/Subscription', body }
  const answer = await service.send(who, sent)
  if (answer.status !== 201) throw new Error(`The subscription was not taken: ${answer.text}`)
  return Created.parse(answer.json).id
}

const Notification = z.object({
  resourceType: z.literal('Bundle'),
  id: z.string(),
  type: z.literal('history'),
  timestamp: z.string(),
  entry: z.array(
    z.object({
      fullUrl: z.string(),
      resource: z.record(z.string(), z.unknown()),
      request: z.object({ method: z.string(), url: z.string() }),
      response: z.object({ status: z.string() }),
    }),
  ),
})
const Part = z.looseObject({ name: z.string() })
const Told = z.object({
  parameter: z.array(Part.extend({ part: z.array(Part).optional() })),
})

/** What a notification says, as a receiver reads it. */
export function read({ text }: Pick<Received, 'text'>) {
  const bundle = Notification.parse(JSON.parse(text))
  const { parameter } = Told.parse(bundle.entry[0]?.resource)
  const valueOf = (name: string) => {
    const found = parameter.find((one) => one.name === name)
    return Object.entries(found ?? {}).find(([key]) => key.startsWith('value'))?.[1]
  }
  const events = parameter.flatMap(({ name, part = [] }) => {
    if (name !== 'notification-event') return []
    const of = (wanted: string) => part.find((one) => one.name === wanted)
    const focus = of('focus')?.['valueReference']
    return [
      {
        number: of('event-number')?.['valueString'],
        focus: z
          .object({ reference: z.string() })
          .optional()
          .parse(focus)
          ?.reference.replace(`${BASE}/`, ''),
      },
    ]
  })
  return {
    bundle,
    type: valueOf('type'),
    status: valueOf('status'),
    count: valueOf('events-since-subscription-start'),
    events,
    numbers: events.map(({ number }) => number),
  }
}
