import { expect, test } from 'vitest'
import { capabilityStatement } from '../../src/fhir/capability.ts'
import { asResource } from '../../src/fhir/validate.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import type { Resource } from '../../src/fhir/r4/types.ts'
import { topicOf, TOPICS } from '../../src/fhir/subscription-topics.ts'

const BASE = 'https://footing.example/fhir/SubscriptionTopic'
const task = (code: string, status: string, businessStatus?: string): Resource =>
  asResource({
    resourceType: 'Task',
    status,
    intent: 'order',
    code: {
      coding: [
        {
          system: `https://footing.example/fhir/CodeSystem/${code === 'orthotic-referral' ? 'exchange' : 'task'}`,
          code,
        },
      ],
    },
    ...(businessStatus === undefined ? {} : { businessStatus: { text: businessStatus } }),
  })
const message = asResource({ resourceType: 'Communication', status: 'completed' })
const document = (status: string) =>
  asResource({
    resourceType: 'DocumentReference',
    status,
    content: [{ attachment: { title: 'x' } }],
  })
const plan = asResource({
  resourceType: 'CarePlan',
  status: 'active',
  intent: 'plan',
  subject: { reference: 'Patient/1' },
})

const CASES: readonly (readonly [string, string, Resource, Resource | undefined, boolean])[] = [
  ['referral-changed', 'a new referral', task('orthotic-referral', 'requested'), undefined, true],
  [
    'referral-changed',
    'another status',
    task('orthotic-referral', 'accepted'),
    task('orthotic-referral', 'requested'),
    true,
  ],
  [
    'referral-changed',
    'another business status',
    task('orthotic-referral', 'accepted', 'b'),
    task('orthotic-referral', 'accepted', 'a'),
    true,
  ],
  [
    'referral-changed',
    'the same state',
    task('orthotic-referral', 'accepted', 'a'),
    task('orthotic-referral', 'accepted', 'a'),
    false,
  ],
  ['referral-changed', 'another Task', task('reminder', 'requested'), undefined, false],
  [
    'information-requested',
    'a new request',
    task('information-request', 'requested'),
    undefined,
    true,
  ],
  [
    'information-requested',
    'its answer',
    task('information-request', 'completed'),
    task('information-request', 'requested'),
    false,
  ],
  ['information-requested', 'a referral', task('orthotic-referral', 'requested'), undefined, false],
  ['message-sent', 'a new message', message, undefined, true],
  ['message-sent', 'a changed message', message, message, false],
  ['document-issued', 'a new document', document('current'), undefined, true],
  ['document-issued', 'a superseded one', document('superseded'), document('current'), true],
  ['document-issued', 'a changed one', document('current'), document('current'), false],
  [
    'document-issued',
    'one that stays superseded',
    document('superseded'),
    document('superseded'),
    false,
  ],
  ['plan-changed', 'a new plan', plan, undefined, true],
  ['plan-changed', 'a changed plan', plan, plan, true],
  ['plan-changed', 'something else', message, undefined, false],
]

for (const [code, what, now, before, expected] of CASES)
  test(`${code}: ${what} is ${expected ? '' : 'not '}told`, () => {
    expect(topicOf(`${BASE}/${code}`)?.isTriggered(now, before)).toBe(expected)
  })

test('a topic is named without a version or with its own, and with no other (R4, datatype canonical)', () => {
  const url = `${BASE}/plan-changed`
  expect(topicOf(`${url}|1.0.0`)).toBe(topicOf(url))
  expect(topicOf(url)?.url).toBe(url)
  for (const other of ['|', '|1', '|1.0', '|2.0.0', '|1.0.0|1.0.0', '#1.0.0', '/'])
    expect(topicOf(`${url}${other}`)).toBeUndefined()
})

test('a topic filters by search parameters of its type', () => {
  for (const { type, filters } of TOPICS) {
    const known = rowOf(type)?.search.map(({ code }) => code) ?? []
    expect(filters.filter((filter) => !known.includes(filter))).toEqual([])
    expect(filters).toContain('patient')
  }
})

test('the topics are listed in the CapabilityStatement as the guide says', () => {
  const { rest } = capabilityStatement({
    name: 'Footing',
    version: '0',
    baseUrl: 'https://x.example/fhir',
  })
  const found = rest?.[0]?.resource?.find(({ type }) => type === 'Subscription')

  expect(found?.extension).toEqual(
    [
      'referral-changed',
      'information-requested',
      'message-sent',
      'document-issued',
      'plan-changed',
    ].map((code) => ({
      url: 'http://hl7.org/fhir/uv/subscriptions-backport/StructureDefinition/capabilitystatement-subscriptiontopic-canonical',
      valueCanonical: `${BASE}/${code}`,
    })),
  )
  expect(found?.interaction?.map(({ code }) => code)).toEqual(
    expect.arrayContaining(['create', 'update', 'patch', 'delete', 'read']),
  )
  expect(found?.operation?.map(({ name }) => name)).toEqual(
    expect.arrayContaining(['status', 'events']),
  )
})
