import { Client } from 'pg'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { validateResource } from '../../src/fhir/validate.ts'
import { MOST_ATTEMPTS } from '../../src/services/delivery-outcome.ts'
import type { Context } from '../../src/services/context.ts'
import { changeOf } from '../../src/services/current-versions.ts'
import { numberEvents } from '../../src/services/event-numbering.ts'
import { forgetOldEvents } from '../../src/services/event-retention.ts'
import { deliver } from '../../src/services/notification-delivery.ts'
import { dispatch } from '../../src/services/notification-dispatch.ts'
import type { Sender } from '../../src/services/notification-sending.ts'
import { openService } from '../../src/service.ts'
import type { Database } from '../../src/storage/database.ts'
import type { SubscriptionKey } from '../../src/storage/subscription-states.ts'
import { freePort, startService } from '../helpers/killed-service.ts'
import { smallReferral } from '../helpers/referral.ts'
import {
  keptAs,
  ORIGIN,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'
import {
  read,
  type Receiver,
  subscribed,
  subscription,
  tell,
  tellingService,
} from '../helpers/subscriptions.ts'

// Receivers that fail, and a dispatcher that dies: every event comes at least once, in order, with its number.

let service: TestService
let endpoint: Receiver
let sender: Sender
let staff: Who
let partner: Who
let administrator: Who
let sent = 0

/** Longer than a process may hold a subscription, or wait for the next attempt. */
const LONG_MS = 3_600_001

beforeAll(async () => {
  const telling = await tellingService()
  ;({ service, endpoint, sender } = telling)
  return telling.close
})

beforeEach(async () => {
  ;({ staff, partner } = await service.clinic())
  await signIn()
  endpoint.received.length = 0
  endpoint.answer = () => 200
})

/** Tokens do not live as long as a receiver may be down. */
async function signIn(): Promise<void> {
  const { clinicId } = staff
  staff = await service.who(staff)
  partner = await service.who(partner)
  administrator = await service.who({ clinicId, clientId: `admin-${clinicId}`, scope: 'admin' })
}

async function later(): Promise<void> {
  service.clock.advance(LONG_MS)
  await signIn()
}

const path = () => `/hook/${(sent += 1)}`
const statusOf = async (id: string) =>
  resource(await service.send(staff, { url: `/fhir/Subscription/${id}` }))

async function refer(): Promise<string> {
  const parts = smallReferral({ key: `failing${(sent += 1)}` })
  return keptAs(await service.refer(partner, parts), parts, 'task')
}

/** What came to an address of events, as numbers in the order in which they came. */
const numbersAt = (at: string) =>
  endpoint
    .at(at)
    .map(read)
    .flatMap(({ numbers }) => numbers.map(Number))
const upTo = (last: number) => Array.from({ length: last }, (_, index) => index + 1)
const lastOf = async (id: string): Promise<number> => {
  const [row] = await service.sql<{ last: number }>(
    'select last_number as last from subscription_states where subscription_id = $1',
    [id],
  )
  return row?.last ?? 0
}

test('an endpoint that does not shake hands leaves the subscription in error, until it is asked for again', async () => {
  const at = path()
  endpoint.answer = () => 500
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)
  await later()
  await tell(service, sender)
  expect(endpoint.at(at)).toHaveLength(1)
  const body = await statusOf(id)
  expect(body).toMatchObject({ status: 'error', error: 'The endpoint answers with an error.' })
  const status = await service.send(partner, { url: `/fhir/Subscription/${id}/$status` })
  expect(status.text).toContain('"code":"error-response"')

  endpoint.answer = () => 200
  const url = `/fhir/Subscription/${id}`
  const put = await service.send(partner, {
    method: 'PUT',
    url,
    body: { ...body, status: 'requested' },
  })
  expect(put.status).toBe(200)
  expect(resource(put)['error']).toBeUndefined()
  await tell(service, sender)
  expect((await statusOf(id))['status']).toBe('active')
})

test('a redirect is not followed', async () => {
  const at = path()
  endpoint.answer = ({ path: asked }) => (asked === at ? 307 : 200)
  await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)

  expect(endpoint.at(at)).toHaveLength(1)
  expect(endpoint.at('/elsewhere')).toEqual([])
})

test('a receiver that was down is told in order when it is back, with the numbers it was not told', async () => {
  const at = path()
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)
  endpoint.answer = () => undefined
  await refer()
  await tell(service, sender)
  await refer()
  for (let attempt = 0; attempt < 3; attempt += 1) {
    await later()
    await tell(service, sender)
  }
  expect((await statusOf(id))['status']).toBe('active')
  const before = endpoint.at(at).length

  endpoint.answer = () => 200
  await later()
  await tell(service, sender)
  const told = endpoint.at(at).slice(before).map(read)
  expect(told.flatMap(({ numbers }) => numbers.map(Number))).toEqual(upTo(await lastOf(id)))
})

test('the wait grows with each failure, up to an hour, and differs by chance', async () => {
  const at = path()
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)
  endpoint.answer = () => 503
  await refer()
  const waits: number[] = []
  for (let attempt = 1; attempt < MOST_ATTEMPTS; attempt += 1) {
    await tell(service, { ...sender, random: () => (attempt % 2 === 0 ? 0 : 1) })
    const now = service.service.context.now().getTime()
    const [row] = await service.sql<{ due: Date }>(
      'select due_at as due from subscription_states where subscription_id = $1',
      [id],
    )
    waits.push(((row?.due.getTime() ?? 0) - now) / 1_000)
    await later()
  }

  // Seconds: ten, doubled each time; by chance between the half and the whole.
  expect(waits).toEqual([10, 10, 40, 40, 160, 160, 640, 640, 2_560, 1_800, 3_600])
})

async function givenUp(at: string): Promise<string> {
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)
  endpoint.answer = ({ path: asked }) => (asked === at ? 500 : 200)
  await refer()
  for (let attempt = 0; attempt < MOST_ATTEMPTS; attempt += 1) {
    await tell(service, sender)
    await later()
  }
  return id
}

describe('a receiver that answers 500 for ever', () => {
  test('is given up, and blocks no other subscription', async () => {
    const [dead, well] = [path(), path()]
    const other = await subscribed(service, partner, subscription(`${endpoint.origin}${well}`))
    const id = await givenUp(dead)
    await tell(service, sender)

    // The handshake, and as many attempts as are made.
    expect(endpoint.at(dead)).toHaveLength(1 + MOST_ATTEMPTS)
    expect((await statusOf(id))['status']).toBe('error')
    expect((await statusOf(other))['status']).toBe('active')
    expect(numbersAt(well)).toEqual(upTo(await lastOf(other)))
    const ids = endpoint
      .at(dead)
      .slice(1)
      .map(read)
      .map(({ bundle }) => bundle.id)
    expect(new Set(ids).size).toBe(1)
  })

  test('is on the list of dead letters, for administrators of the clinic alone', async () => {
    const id = await givenUp(path())
    const list = { url: '/admin/dead-letters' }

    const found = await service.send(administrator, list)
    expect(found.status).toBe(200)
    expect(found.json).toMatchObject({
      deadLetters: [
        {
          subscriptionId: id,
          partnerId: partner.partnerId,
          clientId: partner.clientId,
          error: 'error-response',
          firstEvent: 1,
          lastEvent: await lastOf(id),
        },
      ],
    })
    for (const [who, status] of [
      [staff, 403],
      [partner, 403],
      [undefined, 401],
    ] as const)
      expect((await service.send(who, list)).status).toBe(status)
    const { clinicId } = (await service.clinic()).staff
    const elsewhere = await service.who({ clinicId, clientId: `admin-${clinicId}`, scope: 'admin' })
    expect((await service.send(elsewhere, list)).json).toEqual({ deadLetters: [] })
    const retry = { method: 'POST', url: `/admin/dead-letters/${id}/retry` } as const
    expect((await service.send(elsewhere, retry)).status).toBe(404)
  })

  test('is told what it was not told after a retry, and nothing of it after a discard', async () => {
    const [retried, discarded] = [path(), path()]
    const first = await givenUp(retried)
    const second = await givenUp(discarded)
    const dead = await lastOf(second)
    const at = { retry: endpoint.at(retried).length, discard: endpoint.at(discarded).length }
    endpoint.answer = () => 200
    const url = '/admin/dead-letters'
    const answers = [
      await service.send(administrator, { method: 'POST', url: `${url}/${first}/retry` }),
      await service.send(administrator, { method: 'DELETE', url: `${url}/${second}` }),
      await service.send(administrator, { method: 'POST', url: `${url}/${second}/retry` }),
    ]
    expect(answers.map(({ status }) => status)).toEqual([204, 204, 204])
    await tell(service, sender)
    await refer()
    await tell(service, sender)

    const since = (place: string, from: number) =>
      endpoint
        .at(place)
        .slice(from)
        .map(read)
        .flatMap(({ numbers }) => numbers.map(Number))
    expect(since(retried, at.retry)).toEqual(upTo(await lastOf(first)))
    expect(since(discarded, at.discard)[0]).toBe(dead + 1)
    const events = await service.send(partner, { url: `/fhir/Subscription/${second}/$events` })
    expect(read(events).numbers[0]).toBe('1')
    const audited = resources(
      await service.send(staff, { url: `/fhir/AuditEvent?entity=Subscription/${first}&action=U` }),
    )
    expect(audited.length).toBeGreaterThan(0)
  })
})

describe('events that are kept no longer', () => {
  const DAY_MS = 86_400_000
  const forget = async (days: number): Promise<void> => {
    service.clock.advance(days * DAY_MS)
    await signIn()
    await forgetOldEvents(service.service.context)
  }
  const eventsOf = async (id: string, query = '') => {
    const answer = await service.send(partner, {
      url: `/fhir/Subscription/${id}/$events${query}`,
    })
    expect(validateResource(answer.json)).toEqual([])
    return { numbers: read(answer).numbers.map(Number), text: answer.text }
  }

  test('are those that were told 30 days ago: $events says from which number on it answers', async () => {
    const id = await subscribed(service, partner, subscription(`${endpoint.origin}${path()}`))
    await tell(service, sender)
    await refer()
    await tell(service, sender)
    const last = await lastOf(id)
    await forget(30)
    expect(await eventsOf(id)).toMatchObject({
      numbers: upTo(last),
      text: expect.not.stringContaining('OperationOutcome') as string,
    })

    await forget(1)
    const says = `Events before number ${last + 1} are no longer kept.`
    expect(await eventsOf(id)).toMatchObject({
      numbers: [],
      text: expect.stringContaining(says) as string,
    })
    await refer()
    await tell(service, sender)
    const next = Array.from({ length: (await lastOf(id)) - last }, (_, index) => last + 1 + index)
    expect(next.length).toBeGreaterThan(0)
    expect(await eventsOf(id, '?eventsUntilNumber=1')).toMatchObject({
      numbers: [],
      text: expect.stringContaining(says) as string,
    })
    expect((await eventsOf(id)).numbers).toEqual(next)
    const asked = await eventsOf(id, `?eventsSinceNumber=${last + 1}`)
    expect(asked).toEqual({
      numbers: next,
      text: expect.not.stringContaining('OperationOutcome') as string,
    })
  })

  test('are those that a subscription in error waited for 90 days; until then it is told them', async () => {
    const [early, late] = [path(), path()]
    const first = await givenUp(early)
    const second = await givenUp(late)
    const last = await lastOf(second)
    const retry = (id: string) =>
      service.send(administrator, { method: 'POST', url: `/admin/dead-letters/${id}/retry` })
    endpoint.answer = () => 200
    await forget(89)
    expect((await retry(first)).status).toBe(204)
    await tell(service, sender)
    expect([...new Set(numbersAt(early))]).toEqual(upTo(await lastOf(first)))

    await forget(2)
    const before = endpoint.at(late).length
    expect((await retry(second)).status).toBe(204)
    await tell(service, sender)
    await refer()
    await tell(service, sender)
    const told = endpoint.at(late).slice(before).map(read)
    expect(told.map(({ type }) => type)).toEqual(['handshake', 'event-notification'])
    expect(told.at(-1)?.numbers[0]).toBe(String(last + 1))
  })

  test('are never those that are still to be told', async () => {
    const at = path()
    const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
    await tell(service, sender)
    await refer()
    await numberEvents(service.service.context, staff.clinicId)
    await forget(400)
    await tell(service, sender)

    expect(numbersAt(at)).toEqual(upTo(await lastOf(id)))
  })
})

/** A process that dies at its nth step at the database: before the step is done, or after. */
function dying(context: Context, nth: number, after: boolean): Context {
  let steps = 0
  const step = async <T>(work: () => Promise<T>): Promise<T> => {
    steps += 1
    if (steps < nth || (steps === nth && after)) {
      const done = await work()
      if (steps === nth) throw new Error('The process died')
      return done
    }
    throw new Error('The process died')
  }
  const db: Database = {
    ...context.db,
    inClinic: (scope, work) => step(() => context.db.inClinic(scope, work)),
    asOwner: (work) => step(() => context.db.asOwner(work)),
  }
  return { ...context, db }
}

/** Steps at the database of one pass in which there is something to tell, and more. */
const STEPS = 9

test('a dispatcher that is killed at any step loses nothing, and tells nothing out of order', async () => {
  const at = path()
  const { context } = service.service
  const id = await subscribed(
    service,
    partner,
    subscription(`${endpoint.origin}${at}`, { maxCount: 1 }),
  )
  await tell(service, sender)
  let died = 0
  for (let nth = 1; nth <= STEPS; nth += 1)
    for (const after of [false, true]) {
      await refer()
      const mortal = dying(context, nth, after)
      await dispatch(mortal, (key) => deliver(mortal, sender, key)).catch(() => {
        died += 1
      })
      await later()
    }
  await tell(service, sender)

  expect(died).toBeGreaterThan(STEPS)
  const numbers = numbersAt(at)
  const last = await lastOf(id)
  // A consumer that leaves out what it knows sees each once, in order.
  expect([...new Set(numbers)]).toEqual(upTo(last))
  expect(last).toBeGreaterThanOrEqual(2 * STEPS)
  expect(numbers.length).toBeGreaterThan(last)
  const versions = await service.sql<{ told: number[] }>(
    `select array_agg(version order by number) as told from subscription_events
      where subscription_id = $1 group by type, id`,
    [id],
  )
  expect(versions.length).toBeGreaterThan(STEPS)
  for (const { told } of versions) expect(told).toEqual(told.toSorted((a, b) => a - b))
  const byNumber = new Map<string, Set<string>>()
  for (const { bundle, numbers: told } of endpoint.at(at).slice(1).map(read)) {
    const ids = byNumber.get(told.join()) ?? new Set()
    byNumber.set(told.join(), ids.add(bundle.id))
  }
  expect([...byNumber.values()].every((ids) => ids.size === 1)).toBe(true)
})

test('two processes that are at it together tell each event once', async () => {
  const at = path()
  const id = await subscribed(
    service,
    partner,
    subscription(`${endpoint.origin}${at}`, { maxCount: 1 }),
  )
  await tell(service, sender)
  for (let count = 0; count < 5; count += 1) await refer()
  const second = await openService({
    databaseUrl: service.url,
    origin: ORIGIN,
    tokenIssuer: undefined,
    tokenLifetimeSeconds: 300,
    poolSize: 4,
    statementTimeoutMs: 10_000,
    answerLanguage: 'en',
    notifyOrigins: [endpoint.origin],
    now: service.service.context.now,
  })
  try {
    const pass = (context: Context) => dispatch(context, (key) => deliver(context, sender, key))
    await Promise.all([pass(service.service.context), pass(second.context)])
    await tell(service, sender)
  } finally {
    await second.close()
  }

  expect(numbersAt(at)).toEqual(upTo(await lastOf(id)))
})

/** An endpoint that answers only after something else has happened. */
const meanwhile = (work: (nth: number) => Promise<void>): Sender => {
  let nth = 0
  return {
    ...sender,
    exchange: async (outgoing) => {
      nth += 1
      await work(nth)
      return sender.exchange(outgoing)
    },
  }
}
const number = () => numberEvents(service.service.context, staff.clinicId)

test('what happens while an endpoint shakes hands is told as soon as it has', async () => {
  const at = path()
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  // Another process decides meanwhile whom it concerns.
  const slow = meanwhile(async (nth) => {
    if (nth > 1) return
    await refer()
    await number()
  })
  await tell(service, slow)
  await tell(service, slow)

  expect(await lastOf(id)).toBeGreaterThan(0)
  expect(numbersAt(at)).toEqual(upTo(await lastOf(id)))
})

test('what happens until a changed subscription, or one given up, has shaken hands anew is told after it', async () => {
  const [changed, dead] = [path(), path()]
  const first = await subscribed(service, partner, subscription(`${endpoint.origin}${changed}`))
  const second = await givenUp(dead)
  const before = await lastOf(first)
  const body = await statusOf(first)
  const url = `/fhir/Subscription/${first}`
  await service.send(partner, { method: 'PUT', url, body: { ...body, reason: 'Another one' } })
  const retry = `/admin/dead-letters/${second}/retry`
  expect((await service.send(administrator, { method: 'POST', url: retry })).status).toBe(204)
  endpoint.answer = () => 200
  await refer()
  await number()
  await tell(service, sender)
  await tell(service, sender)

  expect(await lastOf(first)).toBeGreaterThan(before)
  expect(numbersAt(changed)).toEqual(upTo(await lastOf(first)))
  expect([...new Set(numbersAt(dead))]).toEqual(upTo(await lastOf(second)))
  expect(await lastOf(second)).toBe(await lastOf(first))
})

test('what was being written when somebody subscribed counts; what was there before does not', async () => {
  const at = path()
  const other = path()
  await subscribed(service, partner, subscription(`${endpoint.origin}${other}`))
  await tell(service, sender)
  await refer()
  service.clock.advance(60_001)
  await refer()
  service.clock.advance(60_000)
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)

  const [whole] = await service.sql<{ last: number }>(
    'select max(last_number) as last from subscription_states where clinic_id = $1',
    [partner.clinicId],
  )
  expect(whole?.last).toBeGreaterThan(0)
  expect(await lastOf(id)).toBe((whole?.last ?? 0) / 2)
})

test('a filter that can be read no more holds nothing back, neither from its subscriber nor from others', async () => {
  const [at, others] = [path(), path()]
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  const other = await subscribed(service, partner, subscription(`${endpoint.origin}${others}`))
  await tell(service, sender)
  await service.sql(
    `update subscription_states set filters = '["Task?no-longer-known=1"]' where subscription_id = $1`,
    [id],
  )
  await refer()
  await number()
  await tell(service, sender)

  expect(await lastOf(other)).toBeGreaterThan(0)
  expect(await lastOf(id)).toBe(await lastOf(other))
  expect(numbersAt(at)).toEqual(numbersAt(others))
})

test('a clinic of which something cannot be decided keeps no other waiting', async () => {
  const at = path()
  await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  const elsewhere = await service.clinic()
  await subscribed(service, elsewhere.partner, subscription(`${endpoint.origin}${path()}`))
  await tell(service, sender)
  await service.refer(elsewhere.partner, smallReferral({ key: 'elsewhere' }))
  await refer()
  const { context } = service.service
  const broken: Context = {
    ...context,
    db: {
      ...context.db,
      inClinic: (scope, work) =>
        scope.clinicId === elsewhere.staff.clinicId
          ? Promise.reject(new Error('It cannot be decided'))
          : context.db.inClinic(scope, work),
    },
  }
  const own = (key: SubscriptionKey) =>
    key.clinicId === staff.clinicId ? deliver(context, sender, key) : Promise.resolve()

  await expect(dispatch(broken, own)).rejects.toThrow('It cannot be decided')
  expect(numbersAt(at).length).toBeGreaterThan(0)
})

test('an endpoint that takes its time gives others their turn', async () => {
  const at = path()
  const asked = { maxCount: 1 }
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`, asked))
  await tell(service, sender)
  for (let count = 0; count < 4; count += 1) await refer()
  await number()
  const slow = meanwhile(async () => service.clock.advance(6_000))
  const { clinicId } = staff
  await deliver(service.service.context, slow, { clinicId, subscriptionId: id })

  expect(numbersAt(at)).toEqual([1, 2])
})

test('what became of a delivery is kept after whoever is changing the subscription, not between', async () => {
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${path()}`))
  const { clinicId } = staff
  const changing = new Client({ connectionString: service.url })
  await changing.connect()
  try {
    await changing.query('begin')
    await changing.query('select pg_advisory_xact_lock(hashtextextended($1, 0))', [
      changeOf(clinicId, { type: 'Subscription', id }),
    ])
    const delivery = deliver(service.service.context, sender, { clinicId, subscriptionId: id })
    const waits = async (): Promise<boolean> => {
      const rows = await service.sql(
        `select from pg_locks where locktype = 'advisory' and not granted`,
      )
      return rows.length > 0
    }
    while (!(await waits()) && (await statusOf(id))['status'] === 'requested')
      await new Promise((resolve) => setTimeout(resolve, 20))
    expect((await statusOf(id))['status']).toBe('requested')
    await changing.query('rollback')
    await delivery
  } finally {
    await changing.end()
  }
  expect((await statusOf(id))['status']).toBe('active')
})

test('the running service tells by itself, from its queue', async () => {
  const running = await testService({ notifyOrigins: [endpoint.origin], jobsPollMs: 500 })
  try {
    const at = path()
    const who = (await running.clinic()).partner
    const arrived = (often: number) =>
      new Promise<void>((resolve) => {
        let count = 0
        endpoint.answer = () => {
          count += 1
          if (count === often) setImmediate(resolve)
          return 200
        }
      })
    const shaken = arrived(1)
    const id = await subscribed(running, who, subscription(`${endpoint.origin}${at}`))
    await shaken
    const url = `/fhir/Subscription/${id}`
    while (resource(await running.send(who, { url }))['status'] !== 'active')
      await new Promise((resolve) => setTimeout(resolve, 50))
    expect(await running.sql('select name, cron from jobs.schedule order by name')).toEqual([
      { name: 'event-retention', cron: '23 3 * * *' },
      { name: 'referral-reminder-round', cron: '17 * * * *' },
    ])
    const told = arrived(1)
    await running.refer(who, smallReferral({ key: 'running' }))
    await told

    expect(
      endpoint
        .at(at)
        .map(read)
        .map(({ type }) => type),
    ).toEqual(['handshake', 'event-notification'])
  } finally {
    await running.close()
  }
})

test('a process that is killed while an endpoint hears it leaves the event to another one', async () => {
  const at = path()
  const id = await subscribed(service, partner, subscription(`${endpoint.origin}${at}`))
  await tell(service, sender)
  await refer()
  const running = await startService(service.url, await freePort(), {
    NOTIFY_ORIGINS: endpoint.origin,
    JOBS_POLL_MS: '500',
  })
  const killed = new Promise<void>((resolve) => {
    endpoint.answer = ({ path: asked }) => {
      if (asked === at) void running.kill().then(resolve)
      return 200
    }
  })
  await killed
  endpoint.answer = () => 200
  // The process went by the time of the machine.
  service.clock.set(new Date(Date.now() + LONG_MS).toISOString())
  await signIn()
  await refer()
  await tell(service, sender)

  expect([...new Set(numbersAt(at))]).toEqual(upTo(await lastOf(id)))
  const ids = new Map<string, string>()
  for (const { bundle, numbers } of endpoint.at(at).slice(1).map(read)) {
    expect(ids.get(numbers.join()) ?? bundle.id).toBe(bundle.id)
    ids.set(numbers.join(), bundle.id)
  }
})
