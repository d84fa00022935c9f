import { beforeAll, beforeEach, expect, test } from 'vitest'
import type { Sender } from '../../src/services/notification-sending.ts'
import { smallReferral } from '../helpers/referral.ts'
import { keptAs, resource, type TestService, testService, type Who } from '../helpers/service.ts'
import {
  read,
  type Receiver,
  receiver,
  senderOf,
  subscribed,
  subscription,
  tell,
} from '../helpers/subscriptions.ts'

let service: TestService
let endpoint: Receiver
let sender: Sender
let staff: Who
let partner: Who
let other: Who
let sent = 0

beforeAll(async () => {
  endpoint = await receiver()
  service = await testService({ notifyOrigins: [endpoint.origin] })
  sender = senderOf(service, [endpoint.origin])
  return async () => {
    await service.close()
    await endpoint.close()
  }
})

beforeEach(async () => {
  ;({ staff, partner, other } = await service.clinic())
  endpoint.received.length = 0
  endpoint.answer = () => 200
})

const path = () => `/hook/${(sent += 1)}`
const statusOf = async (who: Who, id: string) =>
  resource(await service.send(who, { url: `/fhir/Subscription/${id}` }))['status']

/** A small referral of another child; the place of its Task. */
async function refer(who: Who): Promise<string> {
  const parts = smallReferral({ key: `child${(sent += 1)}` })
  return keptAs(await service.refer(who, parts), parts, 'task')
}

test('a subscription is requested, shakes hands, is active, and is told of what happens to its own referrals', async () => {
  const at = path()
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  expect(await statusOf(partner, id)).toBe('requested')
  expect(endpoint.received).toEqual([])

  await tell(service, sender)
  expect(endpoint.at(at).map(read)).toMatchObject([
    { type: 'handshake', status: 'requested', count: '0', events: [] },
  ])
  expect(await statusOf(partner, id)).toBe('active')

  const task = await refer(partner)
  const foreign = await refer(other)
  await tell(service, sender)
  await tell(service, sender)

  const told = endpoint.at(at).slice(1).map(read)
  expect(told.map(({ type, status }) => [type, status])).toEqual([['event-notification', 'active']])
  // The triage moves the referral on at once.
  expect(told[0]?.events[0]).toEqual({ number: '1', focus: task })
  expect(told[0]?.events.map(({ focus }) => focus)).not.toContain(foreign)
  expect(told[0]?.count).toBe(told[0]?.events.at(-1)?.number)
  expect(await statusOf(staff, id)).toBe('active')
})
