import { beforeAll, describe, expect, test } from 'vitest'
import { identifierOf, type Json, referralParts } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  bundle,
  expressions,
  issues,
  keptAs,
  linkOf,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Expected results follow search.html of R4 4.0.1; its section stands beside each group.

let service: TestService
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

const find = (query: string, who = partner, headers: Record<string, string> = {}) =>
  service.send(who, { url: `/fhir/${query}`, headers })
const ids = (answer: Answer) => {
  expect(answer.status, answer.text).toBe(200)
  return resources(answer).map(({ id }) => String(id))
}
async function create(who: Who, sent: Json): Promise<string> {
  const url = `/fhir/${String(sent['resourceType'])}`
  const answer = await service.send(who, { method: 'POST', url, body: sent })
  if (answer.status !== 201) throw new Error(answer.text)
  return String(resource(answer)['id'])
}
const patient = (key: string, more: Json = {}): Json => ({
  resourceType: 'Patient',
  identifier: [identifierOf(key, 'patient')],
  birthDate: '2024-02-01',
  ...more,
})
const observation = (more: Json): Json => ({
  resourceType: 'Observation',
  status: 'final',
  code: { text: 'An invented observation' },
  ...more,
})

describe('date, 3.1.1.4.7 and 3.1.1.4.5', () => {
  const CASES: readonly [string, string | Json, boolean][] = [
    ['eq2013-01-14', '2013-01-14T00:00:00Z', true],
    ['eq2013-01-14', '2013-01-14T10:00:00Z', true],
    ['eq2013-01-14', '2013-01-15T00:00:00Z', false],
    ['ne2013-01-14', '2013-01-15T00:00:00Z', true],
    ['ne2013-01-14', '2013-01-14T10:00:00Z', false],
    ['lt2013-01-14T10:00:00Z', '2013-01-14', true],
    ['gt2013-01-14T10:00:00Z', '2013-01-14', true],
    ['ge2013-03-14', { start: '2013-01-21' }, true],
    ['le2013-03-14', { start: '2013-01-21' }, true],
    ['sa2013-03-14', { start: '2013-03-15' }, true],
    ['sa2013-03-14', { start: '2013-01-21' }, false],
    ['sa2013-03-14', { end: '2013-01-21' }, false],
    ['eb2013-03-14', { start: '2013-03-15' }, false],
    ['eb2013-03-14', { start: '2013-01-21' }, false],
    ['eb2013-03-14', { end: '2013-01-21' }, true],
    ['eq2013', '2013-06', true],
    ['eq2013-06', '2013', false],
    ['ge2013-06', '2013', true],
    ['2022-05', '2022-05-01', true],
    ['2022-05-01', '2022-05', false],
    ['eq2024-02-29T23:59:59-05:00', '2024-03-01T04:59:59Z', true],
    ['2013-01-14T10:00Z', '2013-01-14T10:00:59Z', true],
    ['2013-01-14T10:00Z', '2013-01-14T10:01:00Z', false],
    ['lt2013-01-14', '2013-01-14', false],
    ['gt2013-01-14', '2013-01-14', false],
    ['le2013-01-14', '2013-01-14', true],
    ['ge2013-01-14', '2013-01-14', true],
    ['2013-01-14,2013-01-15', '2013-01-15', true],
    ['9999-12-31', '2013-01-15', false],
  ]

  test.each(CASES)('%s against %j: %j', async (query, value, match) => {
    const { staff } = await service.clinic()
    const effective =
      typeof value === 'string' ? { effectiveDateTime: value } : { effectivePeriod: value }
    const id = await create(staff, observation(effective))

    const found = ids(await find(`Observation?date=${encodeURIComponent(query)}`, staff))

    expect(found).toEqual(match ? [id] : [])
  })

  test('a raw plus sign of a zone is understood, 3.1.1.4.7 and the note on +', async () => {
    const { staff } = await service.clinic()
    const id = await create(staff, observation({ effectiveDateTime: '2013-01-14T09:30:00Z' }))

    expect(ids(await find('Observation?date=2013-01-14T10:30:00+01:00', staff))).toEqual([id])
  })

  test('repeated dates must all hold', async () => {
    const { staff } = await service.clinic()
    const id = await create(staff, observation({ effectiveDateTime: '2013-01-14' }))
    await create(staff, observation({ effectiveDateTime: '2013-02-14' }))

    expect(ids(await find('Observation?date=ge2013-01-01&date=lt2013-02-01', staff))).toEqual([id])
  })
})

describe('token, 3.1.1.4.10', () => {
  const CASES: readonly [string, boolean][] = [
    ['X', true],
    ['http://a.example/cs|X', true],
    ['|X', false],
    ['|Y', true],
    ['Y', true],
    ['http://a.example/cs|', true],
    ['http://b.example/cs|X', false],
    ['http://b.example/cs|', false],
    ['Z,X', true],
    ['Z', false],
  ]

  test.each(CASES)('code=%s: %j', async (query, match) => {
    const { staff } = await service.clinic()
    const coding = [{ system: 'http://a.example/cs', code: 'X' }, { code: 'Y' }]
    const id = await create(staff, observation({ code: { coding } }))

    for (const written of [query, encodeURIComponent(query)])
      expect(ids(await find(`Observation?code=${written}`, staff))).toEqual(match ? [id] : [])
  })

  test.each(['category', 'identifier', 'status'])('%s finds and does not find', async (name) => {
    const { staff } = await service.clinic()
    const id = await create(
      staff,
      observation({
        status: 'amended',
        category: [{ coding: [{ system: 'http://a.example/cs', code: 'amended' }] }],
        identifier: [{ system: 'http://a.example/ids', value: 'amended' }],
      }),
    )

    expect(ids(await find(`Observation?${name}=amended`, staff))).toEqual([id])
    expect(ids(await find(`Observation?${name}=final`, staff))).toEqual([])
  })

  test('parameters that are repeated must all hold, values in one are alternatives', async () => {
    const { staff } = await service.clinic()
    const codes = (...all: string[]) => ({
      category: all.map((code) => ({ coding: [{ system: 'http://a.example/cs', code }] })),
    })
    const both = await create(staff, observation(codes('FR', 'NL')))
    const one = await create(staff, observation(codes('FR')))

    expect(ids(await find('Observation?category=FR&category=NL', staff))).toEqual([both])
    expect(ids(await find('Observation?category=FR,NL', staff)).toSorted()).toEqual(
      [both, one].toSorted(),
    )
  })
})

describe('escapes, 3.1.1.4.19', () => {
  test.each([
    ['a\\,b', 'a,b'],
    ['xx\\$xx', 'xx$xx'],
    ['xx\\\\xx', 'xx\\xx'],
    ['xx\\|xx', 'xx|xx'],
  ])('%s means %s', async (query, value) => {
    const { staff } = await service.clinic()
    const id = await create(staff, observation({ identifier: [{ value }] }))
    const other = await create(staff, observation({ identifier: [{ value: 'a' }] }))

    const found = ids(await find(`Observation?identifier=${encodeURIComponent(query)}`, staff))

    expect(found).toEqual([id])
    expect(found).not.toContain(other)
  })

  test.each(['xx\\xx', 'xx\\'])('the lone backslash of %s is refused', async (query) => {
    const answer = await find(`Observation?identifier=${encodeURIComponent(query)}`)

    expect([answer.status, expressions(answer)]).toEqual([400, ['http.identifier']])
  })
})

describe('string, 3.1.1.4.8', () => {
  test.each([
    ['given=eve', 'Evelyn', true],
    ['given=eve', 'Severine', false],
    ['family=muller', 'Müller', true],
    ['family=M%C3%BCller', 'MULLER', true],
    ['family=m%25', 'Müller', false],
    ['family=_', 'Müller', false],
    ['family=%5C%5C', 'Müller', false],
  ])('%s against %s: %j', async (query, value, match) => {
    const { staff } = await service.clinic()
    const id = await create(
      staff,
      patient('name', { name: [{ family: value, given: ['Invented', value] }] }),
    )

    expect(ids(await find(`Patient?${query}`, staff))).toEqual(match ? [id] : [])
  })
})

describe('reference, 3.1.1.4.12', () => {
  test('id, Type/id and the absolute URL of our own base are the same; another base is not', async () => {
    const { staff } = await service.clinic()
    const child = await create(staff, patient('ref'))
    const relative = await create(
      staff,
      observation({ subject: { reference: `Patient/${child}` } }),
    )
    const absolute = await create(
      staff,
      observation({ subject: { reference: `${BASE}/Patient/${child}` } }),
    )
    const foreign = `https://other.example/fhir/Patient/${child}`
    await create(staff, observation({ subject: { reference: foreign } }))
    const both = [relative, absolute].toSorted()

    for (const query of [
      `patient=${child}`,
      `patient=Patient/${child}`,
      `patient=${encodeURIComponent(`${BASE}/Patient/${child}`)}`,
      `patient:Patient=${child}`,
    ])
      expect(ids(await find(`Observation?${query}`, staff)).toSorted(), query).toEqual(both)
    for (const query of [
      `patient=Group/${child}`,
      `patient:Group=${child}`,
      `patient=${encodeURIComponent(foreign)}`,
      'patient=nobody',
    ])
      expect(ids(await find(`Observation?${query}`, staff)), query).toEqual([])
  })

  test('further references are found by their own parameters', async () => {
    const parts = referralParts({ key: 'further' })
    const sent = await service.refer(partner, parts)
    const [referral, role, task] = ['referral', 'role', 'task'].map((name) =>
      keptAs(sent, parts, name),
    )

    expect(ids(await find(`ServiceRequest?requester=${role}`))).toEqual([referral?.split('/')[1]])
    expect(ids(await find(`Task?focus=${referral}`))).toEqual([task?.split('/')[1]])
    expect(
      ids(await find(`Observation?derived-from=${keptAs(sent, parts, 'muscle-tone')}`)).length,
    ).toBeGreaterThan(0)
    expect(ids(await find(`Provenance?entity=${keptAs(sent, parts, 'muscle-tone')}`))).toHaveLength(
      1,
    )
  })
})

describe('every resource', () => {
  test('_id finds those named, and nothing for what is not there', async () => {
    const { staff } = await service.clinic()
    const [a, b] = [await create(staff, patient('a')), await create(staff, patient('b'))]
    await create(staff, patient('c'))

    expect(ids(await find(`Patient?_id=${a},${b}`, staff)).toSorted()).toEqual([a, b].toSorted())
    const none = await find('Patient?_id=does-not-exist', staff)
    expect([none.status, bundle(none).total]).toEqual([200, 0])
    expect(none.json).not.toHaveProperty('entry')
  })

  test('_lastUpdated tells versions a millisecond apart', async () => {
    const { staff } = await service.clinic()
    const first = await create(staff, patient('first'))
    service.clock.advance(1)
    const second = await create(staff, patient('second'))
    service.clock.advance(-1)

    const at = (query: string) => find(`Patient?_lastUpdated=${query}`, staff)
    expect(ids(await at('2026-03-02T09:00:00.000Z'))).toEqual([first])
    expect(ids(await at('gt2026-03-02T09:00:00.000Z'))).toEqual([second])
    expect(ids(await at('2026-03-02'))).toEqual([second, first])
    expect(ids(await at('lt2026-03-02'))).toEqual([])
  })

  test('GET and POST _search are the same, and their parameters are one list', async () => {
    const { staff } = await service.clinic()
    const id = await create(staff, patient('form', { name: [{ family: 'Musterkind' }] }))
    const form = (body: string, url = '/fhir/Patient/_search') =>
      service.send(staff, {
        method: 'POST',
        url,
        body,
        headers: { 'content-type': 'application/x-www-form-urlencoded' },
      })

    expect(ids(await form('family=muster'))).toEqual([id])
    expect(ids(await form('', '/fhir/Patient/_search?family=muster'))).toEqual([id])
    expect(ids(await form('family=muster', '/fhir/Patient/_search?_id=nobody'))).toEqual([])
    expect(linkOf(await form('family=muster'), 'self')).toBe(`${BASE}/Patient?family=muster`)
  })
})

describe('what cannot be searched, 3.1.1.3 and 3.1.1.4.4', () => {
  test('an unknown parameter is ignored and left out of the self link', async () => {
    for (const headers of [{}, { prefer: 'handling=lenient' }, { prefer: 'return=nonsense' }]) {
      const answer = await find('Patient?bogus=1&family=nobody', partner, headers)

      expect(answer.status).toBe(200)
      expect(linkOf(answer, 'self')).toBe(`${BASE}/Patient?family=nobody`)
    }
  })

  test('with handling=strict every unknown parameter is named', async () => {
    const answer = await find('Patient?bogus=1&_count=x&more=2', partner, {
      prefer: 'handling=strict',
    })

    expect(answer.status).toBe(400)
    expect(expressions(answer)).toEqual(['http.bogus', 'http._count', 'http.more'])
  })

  test.each([
    ['Patient?family:bogus=x', 'http."family:bogus"', 'not-supported'],
    ['Patient?family:text=x', 'http."family:text"', 'not-supported'],
    ['Observation?code:above=x', 'http."code:above"', 'not-supported'],
    ['Observation?code:of-type=a|b|c', 'http."code:of-type"', 'not-supported'],
    ['Observation?code:in=http://a.example/vs', 'http."code:in"', 'not-supported'],
    ['Observation?patient:below=x', 'http."patient:below"', 'not-supported'],
    ['Observation?date:not=2026', 'http."date:not"', 'not-supported'],
    ['Patient?birthdate=23%20May%202009', 'http.birthdate', 'value'],
    ['Patient?birthdate=2009-02-30', 'http.birthdate', 'value'],
    ['Patient?birthdate=2009-5', 'http.birthdate', 'value'],
    ['Observation?date=2009-05-01T10', 'http.date', 'value'],
    ['Patient?_count=-1', 'http._count', 'value'],
    ['Patient?_cursor=abc', 'http._cursor', 'value'],
  ])('%s is refused with 400', async (query, expression, code) => {
    const answer = await find(query, partner, { prefer: 'handling=lenient' })

    expect(answer.status).toBe(400)
    expect(expressions(answer)).toEqual([expression])
    expect(issues(answer)[0]?.code).toBe(code)
  })

  test('an empty value is ignored', async () => {
    const { staff } = await service.clinic()
    const id = await create(staff, patient('empty'))

    expect(ids(await find('Patient?family=&_id=', staff))).toEqual([id])
  })

  test('injected SQL finds nothing and breaks nothing', async () => {
    const { staff } = await service.clinic()
    const id = await create(staff, patient('inject'))
    const before = await service.sql("select 1 from resources where type <> 'AuditEvent'")

    for (const text of [
      "' or '1'='1",
      "'; drop table resources; --",
      '1) or (true',
      '$1',
      "\\' or 1=1",
    ])
      for (const name of ['family', 'identifier', '_id', 'birthdate', '_lastUpdated', '_count']) {
        const answer = await find(`Patient?${name}=${encodeURIComponent(text)}`, staff)
        expect([200, 400]).toContain(answer.status)
        if (answer.status === 200) expect(resources(answer)).toEqual([])
      }

    expect(ids(await find('Patient', staff))).toEqual([id])
    expect(await service.sql("select 1 from resources where type <> 'AuditEvent'")).toHaveLength(
      before.length,
    )
  })
})

describe('pages, 3.1.1.5.3 and 3.1.0.14', () => {
  test('_count=0 answers the number alone', async () => {
    const { staff } = await service.clinic()
    for (const key of ['a', 'b', 'c']) await create(staff, patient(key))

    const answer = await find('Patient?_count=0', staff)

    expect(bundle(answer).total).toBe(3)
    expect(answer.json).not.toHaveProperty('entry')
  })

  test('next links lead to the end without a gap or a repeat while rows are inserted', async () => {
    const { staff } = await service.clinic()
    const made: string[] = []
    for (let number = 0; number < 11; number += 1) {
      // Several share a millisecond: ties are broken by id.
      if (number % 4 === 0) service.clock.advance(1)
      made.push(
        await create(staff, patient(`page-${number}`, { name: [{ family: 'Musterkind' }] })),
      )
    }
    service.clock.advance(1)
    const found: string[] = []
    let next: string | undefined = `${BASE}/Patient?family=muster&_count=2`
    let pages = 0

    while (next !== undefined) {
      const page: Answer = await service.send(staff, { url: next.replace(BASE, '/fhir') })
      expect(resources(page).length).toBeLessThanOrEqual(2)
      expect(linkOf(page, 'self')).toBe(`${BASE}/Patient?family=muster&_count=2`)
      found.push(...ids(page))
      await create(staff, patient(`new-${pages}`, { name: [{ family: 'Musterkind' }] }))
      next = linkOf(page, 'next')
      pages += 1
    }

    expect(pages).toBe(6)
    expect(new Set(found).size).toBe(found.length)
    expect(found.toSorted()).toEqual(made.toSorted())
  })

  test('a page holds 200 at most and says how many there are when it holds all', async () => {
    const { staff } = await service.clinic()
    const id = await create(staff, patient('one'))

    const answer = await find('Patient?_count=100000', staff)

    expect(bundle(answer).total).toBe(1)
    expect(ids(answer)).toEqual([id])
    expect(linkOf(answer, 'next')).toBeUndefined()
    expect(bundle(answer).entry?.[0]).toMatchObject({
      fullUrl: `${BASE}/Patient/${id}`,
      search: { mode: 'match' },
    })
  })
})
