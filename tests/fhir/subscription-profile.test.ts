import { describe, expect, test } from 'vitest'
import type { Subscription } from '../../src/fhir/r4/types.ts'
import { subscriptionFaults } from '../../src/fhir/subscription-profile.ts'
import { subscriptionTerms } from '../../src/fhir/subscription-terms.ts'

const GUIDE = 'http://hl7.org/fhir/uv/subscriptions-backport/StructureDefinition'
const TOPICS = 'https://footing.example/fhir/SubscriptionTopic'

/** As the example of the guide, with a topic of this service. */
const sample = (
  channel: Partial<Subscription['channel']> = {},
  change: Partial<Subscription> = {},
): Subscription => ({
  resourceType: 'Subscription',
  status: 'requested',
  end: '2030-12-31T12:00:00Z',
  reason: 'An example',
  criteria: `${TOPICS}/referral-changed`,
  channel: {
    extension: [
      { url: `${GUIDE}/backport-heartbeat-period`, valueUnsignedInt: 86_400 },
      { url: `${GUIDE}/backport-timeout`, valueUnsignedInt: 60 },
      { url: `${GUIDE}/backport-max-count`, valuePositiveInt: 20 },
    ],
    type: 'rest-hook',
    endpoint: 'https://client.example.org/hook',
    payload: 'application/fhir+json',
    _payload: { extension: [{ url: `${GUIDE}/backport-payload-content`, valueCode: 'id-only' }] },
    header: ['Authorization: Bearer example'],
    ...channel,
  },
  ...change,
})
const filtered = (...filters: readonly string[]): Partial<Subscription> => ({
  _criteria: {
    extension: filters.map((valueString) => ({
      url: `${GUIDE}/backport-filter-criteria`,
      valueString,
    })),
  },
})
const content = (...codes: readonly string[]) => ({
  _payload: {
    extension: codes.map((valueCode) => ({
      url: `${GUIDE}/backport-payload-content`,
      valueCode,
    })),
  },
})
const places = (subscription: Subscription) =>
  subscriptionFaults(subscription, 'Subscription').map(({ expression }) => expression)

describe('what is taken', () => {
  const TAKEN: readonly (readonly [string, Subscription])[] = [
    ['what the example of the guide asks for', sample()],
    ['a filter parameter=value', sample({}, filtered('patient=Patient/123'))],
    ['a filter Type?parameter=value', sample({}, filtered('Task?patient=Patient/123'))],
    ['a filter Type.parameter=value', sample({}, filtered('Task.patient=Patient/123'))],
    [
      'a filter with a modifier, and several',
      sample({}, filtered('status:not=draft', 'priority=stat')),
    ],
    ['payload empty', sample(content('empty'))],
    ['payload full-resource', sample(content('full-resource'))],
    [
      'a heartbeat of ten seconds',
      sample({ extension: [{ url: `${GUIDE}/backport-heartbeat-period`, valueUnsignedInt: 10 }] }),
    ],
    [
      'a time-out of one second',
      sample({ extension: [{ url: `${GUIDE}/backport-timeout`, valueUnsignedInt: 1 }] }),
    ],
    [
      'a hundred events at once',
      sample({ extension: [{ url: `${GUIDE}/backport-max-count`, valuePositiveInt: 100 }] }),
    ],
  ]
  test.each(TAKEN)('%s', (_what, subscription) => {
    expect(subscriptionFaults(subscription, 'Subscription')).toEqual([])
  })
})

describe('what is refused, and where', () => {
  const one = (url: string, value: object) => ({
    extension: [{ url: `${GUIDE}/${url}`, ...value }],
  })
  const REFUSED: readonly (readonly [string, Subscription, string])[] = [
    ['another topic', sample({}, { criteria: `${TOPICS}/admission` }), 'Subscription.criteria'],
    [
      'a search instead of a topic',
      sample({}, { criteria: 'Task?status=requested' }),
      'Subscription.criteria',
    ],
    [
      'a filter of another type',
      sample({}, filtered('Encounter?patient=Patient/123')),
      'Subscription.criteria.extension[0].value',
    ],
    [
      'a filter that the topic does not have',
      sample({}, filtered('patient=Patient/1', 'code=x')),
      'Subscription.criteria.extension[1].value',
    ],
    ['a chain', sample({}, filtered('patient.name=x')), 'Subscription.criteria.extension[0].value'],
    [
      'a modifier that does not exist',
      sample({}, filtered('status:exactly=draft')),
      'Subscription.criteria.extension[0].value',
    ],
    [
      'a filter that says nothing',
      sample({}, filtered('')),
      'Subscription.criteria.extension[0].value',
    ],
    ['another channel', sample({ type: 'websocket' }), 'Subscription.channel.type'],
    ['no endpoint', sample({ endpoint: 'hook' }), 'Subscription.channel.endpoint'],
    [
      'another payload type',
      sample({ payload: 'application/fhir+xml' }),
      'Subscription.channel.payload',
    ],
    ['no payload content', sample(content()), 'Subscription.channel.payload.extension'],
    [
      'two payload contents',
      sample(content('empty', 'id-only')),
      'Subscription.channel.payload.extension',
    ],
    [
      'an unknown payload content',
      sample(content('some')),
      'Subscription.channel.payload.extension',
    ],
    ['a header that is none', sample({ header: ['Bearer'] }), 'Subscription.channel.header[0]'],
    [
      'a header of two lines',
      sample({ header: ['A: b', 'C: d\r\nE: f'] }),
      'Subscription.channel.header[1]',
    ],
    [
      'a header that ends a message',
      sample({ header: ['Transfer-Encoding: chunked'] }),
      'Subscription.channel.header[0]',
    ],
    [
      'a header that is ours',
      sample({ header: ['X-JWS-Signature: e30'] }),
      'Subscription.channel.header[0]',
    ],
    [
      'a heartbeat of nine seconds',
      sample(one('backport-heartbeat-period', { valueUnsignedInt: 9 })),
      'Subscription.channel.extension[0].value',
    ],
    [
      'a time-out of 61 seconds',
      sample(one('backport-timeout', { valueUnsignedInt: 61 })),
      'Subscription.channel.extension[0].value',
    ],
    [
      'a time-out of nothing',
      sample(one('backport-timeout', { valueUnsignedInt: 0 })),
      'Subscription.channel.extension[0].value',
    ],
    [
      '101 events at once',
      sample(one('backport-max-count', { valuePositiveInt: 101 })),
      'Subscription.channel.extension[0].value',
    ],
    [
      'a period of another type',
      sample(one('backport-timeout', { valueString: '10' })),
      'Subscription.channel.extension[0].value',
    ],
  ]
  test.each(REFUSED)('%s', (_what, subscription, place) => {
    expect(places(subscription)).toEqual([place])
  })
})

test('what a subscription asks for is read, with what holds where it says nothing', () => {
  expect(subscriptionTerms(sample({}, filtered('status=accepted')))).toEqual({
    topic: `${TOPICS}/referral-changed`,
    filters: ['status=accepted'],
    content: 'id-only',
    endpoint: 'https://client.example.org/hook',
    headers: [['Authorization', 'Bearer example']],
    heartbeatS: 86_400,
    timeoutS: 60,
    maxCount: 20,
    end: '2030-12-31T12:00:00Z',
  })
  expect(subscriptionTerms(sample({ extension: [] }))).toMatchObject({
    heartbeatS: undefined,
    timeoutS: 10,
    maxCount: 10,
  })
})
