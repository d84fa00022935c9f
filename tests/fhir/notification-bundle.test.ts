import { describe, expect, test } from 'vitest'
import {
  notificationBundle,
  type NotificationType,
  statusBundle,
  type ToldEvent,
} from '../../src/fhir/notification-bundle.ts'
import type { PayloadContent } from '../../src/fhir/subscription-terms.ts'
import { asResource, validateResource } from '../../src/fhir/validate.ts'
import { stableId } from '../../src/services/stable-id.ts'

// The shapes are those of the examples of the guide "Subscriptions R5 Backport" for R4 (1.2.0-ballot), typed
// from its pages r4-notification-empty, -id-only, -full-resource, -handshake, -heartbeat and -error.

const TELLING = {
  baseUrl: 'https://example.org/fhir',
  idOf: stableId,
  now: '2026-03-02T09:00:00.000Z',
}
const TOLD = {
  subscriptionId: 'admission',
  topic: 'http://hl7.org/SubscriptionTopic/admission',
  status: 'active',
  lastNumber: 2,
}
const EVENT: ToldEvent = {
  number: 2,
  at: '2026-03-02T08:59:59.000Z',
  type: 'Encounter',
  id: '86009987-eabe-42bf-8c02-b112b18cb616',
  version: 1,
  resource: asResource({
    resourceType: 'Encounter',
    id: '86009987-eabe-42bf-8c02-b112b18cb616',
    status: 'in-progress',
    class: { system: 'http://terminology.hl7.org/CodeSystem/v3-ActCode', code: 'VR' },
  }),
}

const bundleOf = (
  type: NotificationType,
  events: readonly ToldEvent[] = [],
  content: PayloadContent = 'id-only',
  told: Partial<typeof TOLD> & { readonly error?: string } = {},
) => notificationBundle({ ...TOLD, ...told }, type, { events, content }, TELLING)

const SUBSCRIPTION = {
  name: 'subscription',
  valueReference: { reference: 'https://example.org/fhir/Subscription/admission' },
}
const TOPIC = { name: 'topic', valueCanonical: 'http://hl7.org/SubscriptionTopic/admission' }
const status = (code: string) => ({ name: 'status', valueCode: code })
const type = (code: string) => ({ name: 'type', valueCode: code })
const count = (text: string) => ({ name: 'events-since-subscription-start', valueString: text })
const NUMBER = { name: 'event-number', valueString: '2' }
const TIME = { name: 'timestamp', valueInstant: '2026-03-02T08:59:59.000Z' }
const FOCUS = {
  name: 'focus',
  valueReference: {
    reference: 'https://example.org/fhir/Encounter/86009987-eabe-42bf-8c02-b112b18cb616',
  },
}

const SHAPES = [
  {
    name: 'empty',
    bundle: bundleOf('event-notification', [EVENT], 'empty'),
    parameters: [
      SUBSCRIPTION,
      TOPIC,
      status('active'),
      type('event-notification'),
      count('2'),
      { name: 'notification-event', part: [NUMBER, TIME] },
    ],
    more: [],
  },
  {
    name: 'id-only',
    bundle: bundleOf('event-notification', [EVENT], 'id-only'),
    parameters: [
      SUBSCRIPTION,
      TOPIC,
      status('active'),
      type('event-notification'),
      count('2'),
      { name: 'notification-event', part: [NUMBER, TIME, FOCUS] },
    ],
    more: [],
  },
  {
    name: 'full-resource',
    bundle: bundleOf('event-notification', [EVENT], 'full-resource'),
    parameters: [
      SUBSCRIPTION,
      TOPIC,
      status('active'),
      type('event-notification'),
      count('2'),
      { name: 'notification-event', part: [NUMBER, TIME, FOCUS] },
    ],
    more: [
      {
        fullUrl: 'https://example.org/fhir/Encounter/86009987-eabe-42bf-8c02-b112b18cb616',
        resource: EVENT.resource,
        request: { method: 'POST', url: 'Encounter' },
        response: { status: '201' },
      },
    ],
  },
  {
    name: 'handshake',
    bundle: bundleOf('handshake', [], 'id-only', { status: 'requested', lastNumber: 0 }),
    parameters: [SUBSCRIPTION, TOPIC, status('requested'), type('handshake'), count('0')],
    more: [],
  },
  {
    name: 'heartbeat',
    bundle: bundleOf('heartbeat'),
    parameters: [SUBSCRIPTION, TOPIC, status('active'), type('heartbeat'), count('2')],
    more: [],
  },
]

describe('a notification has the shape of the example of the guide', () => {
  test.each(SHAPES)('$name', ({ bundle, parameters, more }) => {
    const [first, ...rest] = bundle.entry ?? []

    expect(Object.keys(bundle).toSorted()).toEqual(
      ['resourceType', 'id', 'type', 'timestamp', 'entry'].toSorted(),
    )
    expect(bundle).toMatchObject({ resourceType: 'Bundle', type: 'history' })
    expect(first).toEqual({
      fullUrl: `urn:uuid:${first?.resource?.id}`,
      resource: {
        resourceType: 'Parameters',
        id: first?.resource?.id,
        meta: {
          profile: [
            'http://hl7.org/fhir/uv/subscriptions-backport/StructureDefinition/backport-subscription-status-r4',
          ],
        },
        parameter: parameters,
      },
      request: {
        method: 'GET',
        url: 'https://example.org/fhir/Subscription/admission/$status',
      },
      response: { status: '200' },
    })
    expect(rest).toEqual(more)
    expect(validateResource(bundle)).toEqual([])
  })
})

test('a subscription in error says with which code, in a searchset', () => {
  const bundle = statusBundle(
    [{ ...TOLD, status: 'error', lastNumber: 3, error: 'no-response' }],
    TELLING,
  )

  expect(bundle).toMatchObject({ type: 'searchset', total: 1 })
  expect(bundle.entry?.[0]).toMatchObject({
    search: { mode: 'match' },
    resource: {
      parameter: [
        SUBSCRIPTION,
        TOPIC,
        status('error'),
        type('query-status'),
        count('3'),
        {
          name: 'error',
          valueCodeableConcept: {
            coding: [
              {
                system: 'http://terminology.hl7.org/CodeSystem/subscription-error',
                code: 'no-response',
              },
            ],
          },
        },
      ],
    },
  })
  expect(validateResource(bundle)).toEqual([])
})

test('the same events have the same ids again, other events have others', () => {
  const again = bundleOf('event-notification', [EVENT])

  expect(bundleOf('event-notification', [EVENT]).id).toBe(again.id)
  expect(bundleOf('event-notification', [{ ...EVENT, number: 3 }]).id).not.toBe(again.id)
})

test('a later version is told as an update', () => {
  const { entry } = bundleOf('event-notification', [{ ...EVENT, version: 2 }], 'full-resource')

  expect(entry?.[1]).toMatchObject({
    request: { method: 'PUT', url: 'Encounter/86009987-eabe-42bf-8c02-b112b18cb616' },
    response: { status: '200' },
  })
})
