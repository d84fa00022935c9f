import { afterAll, beforeAll, expect, test } from 'vitest'
import { issues, type TestService, testService, type Who } from '../helpers/service.ts'

// One caller who asks too much is told so, and nobody else notices.

const PER_CLIENT = 5
const PER_CLINIC = 8
const PER_ADDRESS = 4

let limited: TestService
let proxied: TestService

beforeAll(async () => {
  const rateLimits = { perClient: PER_CLIENT, perClinic: PER_CLINIC, perAddress: PER_ADDRESS }
  limited = await testService({ load: { rateLimits } })
  proxied = await testService({ load: { rateLimits, trustedProxies: ['127.0.0.1'] } })
})
afterAll(() => Promise.all([limited.close(), proxied.close()]))

const times = async <T>(count: number, act: () => Promise<T>): Promise<T[]> => {
  const done: T[] = []
  for (let index = 0; index < count; index += 1) done.push(await act())
  return done
}
const read = (who: Who | undefined, headers: Record<string, string> = {}) =>
  limited.send(who, { url: '/fhir/Patient/a', headers })
const statuses = (answers: readonly { readonly status: number }[]) =>
  answers.map(({ status }) => status)

test('a client beyond its limit is told 429, throttled and when to ask again; the call is recorded', async () => {
  const { partner } = await limited.clinic()

  const answers = await times(PER_CLIENT + 2, () => read(partner))

  expect(statuses(answers)).toEqual([...Array<number>(PER_CLIENT).fill(404), 429, 429])
  const refused = answers[PER_CLIENT]
  if (refused === undefined) throw new Error('There is no answer')
  expect(issues(refused)[0]).toMatchObject({ severity: 'error', code: 'throttled' })
  expect(Number(refused.headers['retry-after'])).toBeGreaterThanOrEqual(1)
  expect(Number(refused.headers['retry-after'])).toBeLessThanOrEqual(60)
  const [kept] = await limited.sql<{ count: number }>(
    'select count(*)::int as count from audit_log where clinic_id = $1',
    [partner.clinicId],
  )
  expect(kept?.count).toBe(PER_CLIENT + 2)
})

test('ten times what one client may send takes nothing from another, of its clinic or elsewhere', async () => {
  const { staff, partner } = await limited.clinic()
  const { staff: elsewhere } = await limited.clinic()

  const flood = await times(10 * PER_CLIENT, () => read(partner))
  const [inside, outside] = await Promise.all([read(staff), read(elsewhere)])

  expect(statuses(flood).filter((status) => status === 404)).toHaveLength(PER_CLIENT)
  expect(statuses(flood).filter((status) => status === 429)).toHaveLength(9 * PER_CLIENT)
  expect(statuses([inside, outside])).toEqual([404, 404])
})

test('the clients of a clinic have a limit together, and another clinic has its own', async () => {
  const { staff, partner, other } = await limited.clinic()
  const { staff: elsewhere } = await limited.clinic()

  const answers = [
    ...(await times(4, () => read(staff))),
    ...(await times(4, () => read(partner))),
    ...(await times(1, () => read(other))),
  ]

  expect(statuses(answers)).toEqual([...Array<number>(PER_CLINIC).fill(404), 429])
  expect((await read(elsewhere)).status).toBe(404)
})

test('two clients with the same name in two clinics are two', async () => {
  const clinics = [await limited.clinic(), await limited.clinic()]
  const [one, two] = await Promise.all(
    clinics.map(({ staff: { clinicId } }) => limited.who({ clinicId, clientId: 'same-name' })),
  )

  await times(PER_CLIENT + 1, () => read(one))

  expect((await read(two)).status).toBe(404)
})

test('whoever guesses tokens is told 429 in the end, unrecorded; a neighbour with a token is not', async () => {
  const { partner } = await limited.clinic()
  const recorded = async () =>
    (await limited.sql<{ count: number }>('select count(*)::int as count from audit_log'))[0]?.count
  const before = (await recorded()) ?? 0

  const answers = await times(PER_ADDRESS + 3, () => read({ ...partner, token: 'a.b.c' }))

  expect(statuses(answers)).toEqual([...Array<number>(PER_ADDRESS).fill(401), 429, 429, 429])
  expect(await recorded()).toBe(before + PER_ADDRESS)
  expect((await read(partner)).status).toBe(404)
})

test('an address may ask for tokens as often as its limit says, whatever X-Forwarded-For it writes', async () => {
  let from = 0
  const ask = () => {
    from += 1
    return limited.send(undefined, {
      method: 'POST',
      url: '/oauth/token',
      body: 'grant_type=client_credentials',
      headers: {
        'content-type': 'application/x-www-form-urlencoded',
        'x-forwarded-for': `192.0.2.${from}`,
      },
    })
  }

  const answers = await times(PER_ADDRESS + 1, ask)

  expect(statuses(answers)).toEqual([...Array<number>(PER_ADDRESS).fill(400), 429])
  expect(Number(answers.at(-1)?.headers['retry-after'])).toBeGreaterThanOrEqual(1)
})

test('what a trusted proxy says counts: each address behind it has its own limit', async () => {
  const ask = (address: string) =>
    proxied.send(undefined, {
      url: '/fhir/metadata',
      headers: { 'x-forwarded-for': address },
    })

  expect(statuses(await times(PER_ADDRESS + 1, () => ask('192.0.2.1')))).toContain(429)
  expect((await ask('192.0.2.2')).status).toBe(200)
  // What the first address added in front of its own is its own word.
  expect((await ask('198.51.100.7, 192.0.2.1')).status).toBe(429)
})

test('health is answered however often it is asked', async () => {
  const answers = await times(4 * PER_ADDRESS, () =>
    limited.send(undefined, { url: '/health/live' }),
  )

  expect(new Set(statuses(answers))).toEqual(new Set([200]))
})

test('more at a time than it takes: 503, transient and when to ask again; health is answered, and all end', async () => {
  const service = await testService({ load: { maxInFlight: 3 } })
  const { staff } = await service.clinic()
  const ask = () => service.send(staff, { url: '/fhir/Patient/a' })

  const [health, ...answers] = await Promise.all([
    service.send(undefined, { url: '/health/ready' }),
    ...Array.from({ length: 20 }, ask),
  ])
  const after = await ask()
  await service.close()

  expect(health.status).toBe(200)
  expect(statuses(answers).filter((status) => status === 404)).toHaveLength(3)
  const busy = answers.filter(({ status }) => status === 503)
  expect(busy).toHaveLength(17)
  for (const answer of busy) {
    expect(issues(answer)[0]?.code).toBe('transient')
    expect(Number(answer.headers['retry-after'])).toBeGreaterThanOrEqual(1)
  }
  expect(after.status).toBe(404)
})

test('a process that is late answers 503 but for its health', async () => {
  // Timers are always late by more than a millionth of a millisecond, so it counts as late once it was measured.
  const service = await testService({ load: { maxEventLoopDelayMs: 1e-9 } })
  const { app } = service.service
  await expect.poll(() => app.isUnderPressure(), { timeout: 20_000 }).toBe(true)

  const [open, health] = [
    await service.send(undefined, { url: '/fhir/metadata' }),
    await service.send(undefined, { url: '/health/live' }),
  ]
  await service.close()

  expect([open.status, issues(open)[0]?.code, health.status]).toEqual([503, 'transient', 200])
})
