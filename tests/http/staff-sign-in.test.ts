import { beforeAll, describe, expect, test } from 'vitest'
import { addAccount, renewPassword } from '../../src/services/staff-accounts.ts'
import { type TestService, testService, type Who } from '../helpers/service.ts'
import { browser, enter, PASSWORD, registerClinic } from '../helpers/staff-pages.ts'

// Who gets to the pages of the staff, by ASVS 5.0 chapters 6 and 7.

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  await registerClinic(service, staff.clinicId)
  return service.close
})

const HOUR_MS = 3_600_000
const MINUTE_MS = 60_000
const newBrowser = () => browser(service, { clinicId: staff.clinicId })
/** A page that shows nobody’s data, for whoever is signed in. */
const INSIDE = '/audit'

describe('signing in', () => {
  test('opens the pages, and what the browser keeps is for this host, this site and no script', async () => {
    const one = await newBrowser()
    const before = await one.get(INSIDE)
    const entered = await enter(one)

    expect([before.status, before.headers['location']]).toEqual([303, '/sign-in'])
    expect([entered.status, entered.headers['location']]).toEqual([303, '/'])
    expect(String(entered.headers['set-cookie'])).toMatch(
      /^__Host-footing=[^;]+; Path=\/; HttpOnly; Secure; SameSite=Strict$/,
    )
    expect((await one.get(INSIDE)).status).toBe(200)
  })

  test('says the same whether the login or the password is wrong', async () => {
    const one = await newBrowser()
    const wrong = await enter(one, 'another invented password')
    const unknown = await one.post('/sign-in', { login: 'nobody-here', password: PASSWORD })

    expect([wrong.status, unknown.status]).toEqual([401, 401])
    expect(unknown.text).toBe(wrong.text)
    expect(wrong.headers['set-cookie']).toBeUndefined()
    expect((await one.get(INSIDE)).status).toBe(303)
  })

  test('rests for a quarter of an hour after ten wrong passwords, for the right one too', async () => {
    const one = await newBrowser()
    await Promise.all(Array.from({ length: 10 }, () => enter(one, 'a wrong password here')))

    expect((await enter(one)).status).toBe(401)
    service.clock.advance(14 * MINUTE_MS)
    expect((await enter(one)).status).toBe(401)
    service.clock.advance(MINUTE_MS)
    expect((await enter(one)).status).toBe(303)
  })

  test('with a form of another site is refused', async () => {
    const one = await newBrowser()
    const given = { login: one.login, password: PASSWORD }

    for (const headers of [{ 'sec-fetch-site': 'cross-site' }, { origin: 'https://evil.example' }])
      expect((await one.post('/sign-in', given, headers)).status).toBe(403)
    expect((await one.post('/sign-in', given, { 'sec-fetch-site': 'same-origin' })).status).toBe(
      303,
    )
  })

  test('is in the log, with what came of it and nothing that was typed', async () => {
    const one = await newBrowser()
    await enter(one, 'typed by mistake here')
    await enter(one)
    const found = await service.sql<{ record: string }>(
      'select record from audit_log where record like $1 order by recorded, sequence',
      [`%${one.clientId}%`],
    )
    const records = found.map(({ record }) => record).join('\n')

    expect(records).toContain('"interaction":"sign-in-refused"')
    expect(records).toContain('"interaction":"signed-in"')
    expect(records).not.toContain('typed by mistake')
    expect(records).not.toContain(one.login)
  })

  test('a form that cannot be read is the sender’s fault', async () => {
    const one = await newBrowser()

    const long = await one.post('/sign-in', { login: one.login, password: 'x'.repeat(9_000) })
    const empty = await one.post('/sign-in', {})

    expect([long.status, empty.status]).toEqual([413, 401])
  })
})

describe('a session ends', () => {
  test('when its holder signs out: what was held opens nothing any more', async () => {
    const one = await newBrowser()
    await enter(one)
    const stolen = one.cookie()
    const out = await one.post('/sign-out', {})

    expect([out.status, out.headers['location']]).toEqual([303, '/sign-in'])
    expect((await one.get(INSIDE, { cookie: stolen })).status).toBe(303)
  })

  test('after half an hour without a page', async () => {
    const one = await newBrowser()
    await enter(one)
    service.clock.advance(29 * MINUTE_MS)
    expect((await one.get(INSIDE)).status).toBe(200)
    service.clock.advance(30 * MINUTE_MS)
    expect((await one.get(INSIDE)).status).toBe(200)
    service.clock.advance(31 * MINUTE_MS)
    expect((await one.get(INSIDE)).status).toBe(303)
  })

  test('after ten hours, however busy', async () => {
    const one = await newBrowser()
    await enter(one)
    const seen: number[] = []
    for (let step = 0; step < 21; step += 1) {
      service.clock.advance(HOUR_MS / 2 - 1)
      seen.push((await one.get(INSIDE)).status)
    }

    expect(seen.slice(0, 20).every((status) => status === 200)).toBe(true)
    expect(seen[20]).toBe(303)
  })

  test('when the account gets another password, or its client is revoked', async () => {
    const one = await newBrowser()
    await enter(one)
    await renewPassword(service.service.context, one.login, 'the next invented one')
    expect((await one.get(INSIDE)).status).toBe(303)

    await enter(one, 'the next invented one')
    expect((await one.get(INSIDE)).status).toBe(200)
    await service.sql('update clients set revoked_at = now() where client_id = $1', [one.clientId])
    expect((await one.get(INSIDE)).status).toBe(303)
    expect((await enter(one, 'the next invented one')).status).toBe(401)
  })

  test('is nobody else’s: what was made up or altered opens nothing', async () => {
    const one = await newBrowser()
    await enter(one)
    const [name = '', value = ''] = one.cookie().split('=')
    const elsewhere = (await service.clinic()).staff.clinicId
    const altered = [
      '',
      value.slice(0, -1),
      `${value.slice(0, -1)}${value.endsWith('A') ? 'B' : 'A'}`,
      value.replace(staff.clinicId, elsewhere),
      `${staff.clinicId}.${'A'.repeat(43)}`,
      "'; select 1 --",
    ]

    for (const held of altered)
      expect((await one.get(INSIDE, { cookie: `${name}=${held}` })).status).toBe(303)
  })
})

describe('an account', () => {
  const account = { clinicId: '', login: 'an-invented-login', name: 'Invented', password: PASSWORD }
  const add = (over: Partial<typeof account & { scope: string }>) =>
    addAccount(service.service.context, { ...account, clinicId: staff.clinicId, ...over })

  test('has a password of 15 to 200 signs (NIST SP 800-63B-4 3.1.1.2), which only its seal is kept of', async () => {
    await expect(add({ password: 'x'.repeat(14) })).rejects.toThrow('15 to 200')
    await expect(add({ password: 'x'.repeat(201) })).rejects.toThrow('15 to 200')
    await add({ login: 'kept-as-a-seal' })
    const [kept] = await service.sql<{ password: string }>(
      `select password from staff_accounts where login = 'kept-as-a-seal'`,
    )

    expect(kept?.password).toMatch(/^scrypt\$/)
  })

  test('is refused with every fault at once', async () => {
    await expect(add({ login: 'a b', name: ' ', scope: 'admin', password: '' })).rejects.toThrow(
      /login.*name.*scope.*password/,
    )
  })

  test('is one of its login in a clinic; a login of two clinics opens neither', async () => {
    const one = await newBrowser()
    await expect(add({ login: one.login })).rejects.toThrow('There is an account')
    expect((await enter(one)).status).toBe(303)

    const elsewhere = (await service.clinic()).staff.clinicId
    await registerClinic(service, elsewhere)
    await add({ login: one.login, clinicId: elsewhere })
    expect((await enter(one)).status).toBe(401)
  })
})
