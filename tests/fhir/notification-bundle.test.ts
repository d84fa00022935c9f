import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'
import {
  notificationBundle,
  type NotificationType,
  statusBundle,
  type ToldEvent,
} from '../../src/fhir/notification-bundle.ts'
import type { PayloadContent } from '../../src/fhir/subscription-terms.ts'
import { asResource, validateResource } from '../../src/fhir/validate.ts'
import { stableId } from '../../src/services/stable-id.ts'

// The examples of the guide "Subscriptions R5 Backport" for R4 (1.2.0-ballot): ours are the same, given the same
// subscription, event and time, but for ids.

const Example = z.object({
  timestamp: z.string(),
  entry: z.array(z.looseObject({ resource: z.looseObject({ resourceType: z.string() }) })),
})
const EXAMPLES = z
  .record(z.string(), z.unknown())
  .parse(
    JSON.parse(
      readFileSync(new URL('../cases/r4/guide-notifications.json', import.meta.url), 'utf8'),
    ),
  )
const exampleOf = (name: string) => Example.parse(EXAMPLES[name])

const TELLING = {
  baseUrl: 'https://example.org/fhir',
  idOf: stableId,
  now: exampleOf('full-resource').timestamp,
}
const TOLD = {
  subscriptionId: 'admission',
  topic: 'http://hl7.org/SubscriptionTopic/admission',
  status: 'active',
  lastNumber: 2,
}
const EVENT: ToldEvent = {
  number: 2,
  at: TELLING.now,
  type: 'Encounter',
  id: '86009987-eabe-42bf-8c02-b112b18cb616',
  version: 1,
  resource: asResource(exampleOf('full-resource').entry[1]?.resource ?? { resourceType: '' }),
}

const bundleOf = (
  type: NotificationType,
  events: readonly ToldEvent[] = [],
  content: PayloadContent = 'id-only',
  told: Partial<typeof TOLD> = {},
) => notificationBundle({ ...TOLD, ...told }, type, { events, content }, TELLING)

/** The ids are whoever's that made it. */
function withoutIds(bundle: unknown): unknown {
  const { entry, ...rest } = z
    .looseObject({ entry: z.array(z.looseObject({ resource: z.looseObject({}) })) })
    .parse(bundle)
  const [first, ...more] = entry
  const status = { ...first, fullUrl: '', resource: { ...first?.resource, id: '' } }
  return { ...rest, id: '', entry: [status, ...more] }
}

test.each([
  ['empty', bundleOf('event-notification', [EVENT], 'empty')],
  ['id-only', bundleOf('event-notification', [EVENT], 'id-only')],
  ['full-resource', bundleOf('event-notification', [EVENT], 'full-resource')],
  ['handshake', bundleOf('handshake', [], 'id-only', { status: 'requested', lastNumber: 0 })],
  ['heartbeat', bundleOf('heartbeat')],
])('a notification is as the example of the guide: %s', (name, bundle) => {
  expect(validateResource(EXAMPLES[name])).toEqual([])
  expect(withoutIds(bundle)).toEqual(withoutIds(EXAMPLES[name]))
  expect(bundle.entry?.[0]?.fullUrl).toBe(`urn:uuid:${bundle.entry?.[0]?.resource?.id}`)
  expect(validateResource(bundle)).toEqual([])
})

test('a subscription in error says with which code, as the example of the guide, in a searchset', () => {
  const told = { ...TOLD, status: 'error', lastNumber: 3, error: 'no-response' }
  const bundle = statusBundle([told], TELLING)
  const [example] = exampleOf('error-status').entry

  expect(bundle).toMatchObject({ type: 'searchset', total: 1 })
  expect(bundle.entry?.[0]).toMatchObject({
    search: { mode: 'match' },
    resource: { parameter: example?.resource['parameter'] },
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
