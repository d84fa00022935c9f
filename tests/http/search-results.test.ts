import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import {
  foundIn,
  includedIn,
  observationOf,
  outcomesIn,
  patientOf,
  type Searcher,
  searcher,
} from '../helpers/searches.ts'
import {
  type Answer,
  BASE,
  bundle,
  entries,
  expressions,
  issues,
  linkOf,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// How the answer to a search looks: order, pages, totals, what comes along, parts. R4 3.1.1.5.

let service: TestService

beforeAll(async () => {
  service = await testService()
  return service.close
})

const clinic = async () => {
  const { staff } = await service.clinic()
  return { staff, as: searcher(service, staff) }
}

/** All pages of a search, one after the other. */
async function walk(who: Who, query: string, between = async () => {}): Promise<Answer[]> {
  const pages: Answer[] = []
  let next: string | undefined = `${BASE}/${query}`
  while (next !== undefined) {
    const page: Answer = await service.send(who, { url: next.replace(BASE, '/fhir') })
    expect(page.status, page.text).toBe(200)
    pages.push(page)
    await between()
    next = linkOf(page, 'next')
  }
  return pages
}

describe('order, 3.1.1.5.1', () => {
  test('without a wish the newest comes first, and an update does not move it', async () => {
    const { staff, as } = await clinic()
    const first = await as.create(patientOf())
    service.clock.advance(1)
    const second = await as.create(patientOf())
    service.clock.advance(1)
    const changed = patientOf({ id: first, gender: 'female' })
    const url = `/fhir/Patient/${first}`
    const answer = await service.send(staff, { method: 'PUT', url, body: changed })

    expect(answer.status, answer.text).toBe(200)
    expect(await as.ids('Patient')).toEqual([second, first])
    expect(await as.ids('Patient?_sort=-_lastUpdated')).toEqual([first, second])
    expect(await as.ids('Patient?_sort=_lastUpdated')).toEqual([second, first])
  })

  const families = ['Émile', 'adam', 'Zoë', 'Bert', undefined]
  const sorted = ['adam', 'Bert', 'Émile', 'Zoë']

  test('strings are sorted without case and accents, what has none comes last', async () => {
    const { as } = await clinic()
    const made = new Map<string, string | undefined>()
    for (const family of families)
      made.set(
        await as.create(patientOf(family === undefined ? {} : { name: [{ family }] })),
        family,
      )
    const at = async (sort: string) =>
      (await as.ids(`Patient?_sort=${sort}`)).map((id) => made.get(id))

    expect(await at('family')).toEqual([...sorted, undefined])
    expect(await at('-family')).toEqual([...sorted.toReversed(), undefined])
  })

  test.each(['family', '-family', 'birthdate,-family', '_id', '-_id', 'gender,family,-_id'])(
    'pages sorted by %s show each once, in the order of one page',
    async (sort) => {
      const { staff, as } = await clinic()
      const genders = ['male', 'female']
      for (const [index, family] of [...families, ...families].entries())
        await as.create(
          patientOf({
            ...(family === undefined ? {} : { name: [{ family }] }),
            ...(index % 3 === 0 ? {} : { gender: genders[index % 2] }),
            birthDate: `2024-0${(index % 2) + 1}-01`,
          }),
        )

      const whole = await as.ids(`Patient?_sort=${sort}`)
      const pages = await walk(staff, `Patient?_sort=${sort}&_count=3`)

      expect(pages).toHaveLength(4)
      expect(pages.flatMap(foundIn)).toEqual(whole)
      expect(new Set(whole).size).toBe(10)
    },
  )

  test('dates, numbers, references and codes sort by their values', async () => {
    const { as } = await clinic()
    const child = await as.create(patientOf())
    const make = (day: string, value: number, code: string) =>
      as.create(
        observationOf({
          effectiveDateTime: day,
          valueQuantity: { value },
          code: { coding: [{ code }] },
          subject: { reference: `Patient/${child}` },
        }),
      )
    const a = await make('2026-01-03', 9, 'c')
    const b = await make('2026-01-01', 10, 'b')
    const c = await make('2026-01-02', 2, 'a')

    expect(await as.ids('Observation?_sort=date')).toEqual([b, c, a])
    expect(await as.ids('Observation?_sort=-date')).toEqual([a, c, b])
    expect(await as.ids('Observation?_sort=value-quantity')).toEqual([c, a, b])
    expect(await as.ids('Observation?_sort=code')).toEqual([c, b, a])
    expect(await as.ids('Observation?_sort=patient,-date')).toEqual([a, c, b])
    expect(await as.ids(`Observation?patient=${child}&_sort=status,date`)).toEqual([b, c, a])
  })

  // 3.1.1.4.11 has servers compare in canonical units; the factors are those of ucum-factors.test.ts.
  test('quantities sort by what they measure, whatever unit they are told in', async () => {
    const { staff, as } = await clinic()
    const ucum = 'http://unitsofmeasure.org'
    const make = (value: number, code: string | undefined, more: Json = {}) =>
      as.create(
        observationOf({
          valueQuantity: { value, ...(code === undefined ? {} : { system: ucum, code }), ...more },
        }),
      )
    const metre = await make(0.2, 'm')
    const inches = await make(7, '[in_i]')
    const millimetres = await make(150, 'mm')
    const centimetres = await make(16.5, 'cm')
    const kilometres = await make(0.00001, 'km')
    const above = await make(17, 'cm', { comparator: '>' })
    const bare = await make(160, undefined)
    const none = await as.create(observationOf())
    // 10 mm, 150, 160 without a unit, 165, more than 170, 177.8, 200.
    const rising = [kilometres, millimetres, bare, centimetres, above, inches, metre]

    expect(await as.ids('Observation?_sort=value-quantity')).toEqual([...rising, none])
    expect(await as.ids('Observation?_sort=-value-quantity')).toEqual([
      ...rising.toReversed(),
      none,
    ])
    const pages = await walk(staff, 'Observation?_sort=value-quantity&_count=3')
    expect(pages.flatMap(foundIn)).toEqual([...rising, none])
  })

  test.each(['bogus', '-bogus', 'code-value-quantity', 'date,bogus'])(
    '_sort=%s is refused',
    async (sort) => {
      const { as } = await clinic()
      const answer = await as.find(`Observation?_sort=${sort}`)

      expect([answer.status, expressions(answer)]).toEqual([400, ['http._sort']])
    },
  )

  // R4 3.1.1.5.1: what the service sorts by is its own choice; across types it is what all resources have.
  test('a search across types that is sorted by what one of them has is told what it may name', async () => {
    const { as } = await clinic()

    const answer = await as.find('?_type=Questionnaire,Practitioner&_sort=name')

    expect([answer.status, expressions(answer)]).toEqual([400, ['http._sort']])
    expect(issues(answer)[0]?.details?.text).toContain('Across several types')
  })
})

describe('pages, 3.1.1.5.3 and 3.1.0.14', () => {
  test('what changes or comes in between pages is on none twice', async () => {
    const { staff, as } = await clinic()
    const made: string[] = []
    for (let index = 0; index < 7; index += 1) made.push(await as.create(patientOf()))
    service.clock.advance(1)

    for (const sort of ['', '&_sort=_id', '&_sort=family']) {
      const pages = await walk(staff, `Patient?_count=2${sort}`, async () => {
        service.clock.advance(1)
        await as.create(patientOf({ name: [{ family: 'Neu' }] }))
      })
      const found = pages.flatMap(foundIn)
      expect(new Set(found).size).toBe(found.length)
      expect(found).toEqual(expect.arrayContaining(made))
    }
  })

  test('a link is bound to its search, its clinic and its key', async () => {
    const { staff, as } = await clinic()
    const { staff: stranger } = await service.clinic()
    for (let index = 0; index < 3; index += 1) await as.create(patientOf())
    const next = linkOf(await as.find('Patient?_count=1'), 'next') ?? ''
    const token = new URL(next).searchParams.get('_cursor') ?? ''
    const at = (query: string, who = staff) => service.send(who, { url: `/fhir/${query}` })
    const broken = `${token.slice(0, -2)}${token.endsWith('AA') ? 'BB' : 'AA'}`

    expect((await at(`Patient?_count=1&_cursor=${token}`)).status).toBe(200)
    for (const answer of [
      await at(`Patient?_count=2&_cursor=${token}`),
      await at(`Patient?_count=1&gender=male&_cursor=${token}`),
      await at(`Observation?_count=1&_cursor=${token}`),
      await at(`Patient?_count=1&_cursor=${token}`, stranger),
      await at(`Patient?_count=1&_cursor=${broken}`),
      await at('Patient?_count=1&_cursor=AAAA'),
    ])
      expect([answer.status, expressions(answer)]).toEqual([400, ['http._cursor']])
  })

  test('a link says nothing about a child', async () => {
    const { as } = await clinic()
    for (const family of ['Musterkind', 'Musterkind'])
      await as.create(patientOf({ name: [{ family }] }))
    const next = linkOf(await as.find('Patient?_sort=family&_count=1'), 'next') ?? ''

    const token = new URL(next).searchParams.get('_cursor') ?? ''
    expect(Buffer.from(token, 'base64url').toString('latin1')).not.toMatch(/muster/i)
  })

  test('a search by form goes on by GET', async () => {
    const { staff, as } = await clinic()
    for (let index = 0; index < 3; index += 1) await as.create(patientOf({ gender: 'male' }))
    const first = await service.send(staff, {
      method: 'POST',
      url: '/fhir/Patient/_search?_count=2',
      body: 'gender=male',
      headers: { 'content-type': 'application/x-www-form-urlencoded' },
    })

    const next = linkOf(first, 'next') ?? ''
    const second = await service.send(staff, { url: next.replace(BASE, '/fhir') })

    expect([foundIn(first).length, foundIn(second).length]).toEqual([2, 1])
    expect(linkOf(second, 'self')).toBe(`${BASE}/Patient?_count=2&gender=male`)
  })

  test('_elements that no type has are refused where the sender wants that (3.1.1.5.9, 3.1.1.3)', async () => {
    const { staff } = await clinic()
    const status = async (query: string, prefer: string) =>
      (await service.send(staff, { url: `/fhir/${query}`, headers: { prefer } })).status

    for (const names of ['code,value', 'valueQuantity', 'id,meta', 'value,effectiveDateTime'])
      expect(await status(`Observation?_elements=${names}`, 'handling=strict')).toBe(200)
    for (const names of ['foo', 'code,foo', 'birthDate'])
      expect(await status(`Observation?_elements=${names}`, 'handling=strict')).toBe(400)
    expect(await status('Observation?_elements=foo', 'handling=lenient')).toBe(200)
    expect(await status('?_type=Patient,Observation&_elements=birthDate', 'handling=strict')).toBe(
      200,
    )
  })

  test('_total is given when it is asked for, and _summary=count is the number alone', async () => {
    const { as } = await clinic()
    for (let index = 0; index < 3; index += 1) await as.create(patientOf())
    const total = async (query: string) => bundle(await as.find(`Patient?${query}`)).total

    expect(await total('_count=2')).toBeUndefined()
    expect(await total('_count=2&_total=none')).toBeUndefined()
    expect(await total('_count=2&_total=estimate')).toBe(3)
    expect(await total('_count=2&_total=accurate')).toBe(3)
    expect(await total('_summary=count&gender:missing=true')).toBe(3)
    expect(entries(await as.find('Patient?_summary=count'))).toEqual([])
    expect((await as.find('Patient?_total=some')).status).toBe(400)
  })
})

describe('what comes along, 3.1.1.5.4', () => {
  let as: Searcher
  let staff: Who
  const made: Record<string, string> = {}
  const of = (name: string) => made[name] ?? ''

  beforeAll(async () => {
    ;({ as, staff } = await clinic())
    made['doctor'] =
      `Practitioner/${await as.create({ resourceType: 'Practitioner', identifier: [{ system: 'http://a.example/p', value: '1' }] })}`
    made['child'] =
      `Patient/${await as.create(patientOf({ generalPractitioner: [{ reference: of('doctor') }] }))}`
    const make = async (name: string, more: Json) => {
      made[name] =
        `Observation/${await as.create(observationOf({ subject: { reference: of('child') }, ...more }))}`
    }
    await make('first', {})
    await make('second', { derivedFrom: [{ reference: of('first') }] })
    await make('third', { derivedFrom: [{ reference: of('second') }] })
  })
  const names = (answer: Answer) => {
    expect(answer.status, answer.text).toBe(200)
    return includedIn(answer)
      .map((place) => Object.entries(made).find(([, one]) => one === place)?.[0] ?? place)
      .toSorted()
  }

  test.each<[string, string[]]>([
    ['third&_include=Observation:subject', ['child']],
    ['third&_include=Observation:patient', ['child']],
    ['third&_include=Observation:subject:Patient', ['child']],
    ['third&_include=Observation:subject:Group', []],
    ['third&_include=Observation:derived-from', ['second']],
    ['third&_include:iterate=Observation:derived-from', ['first', 'second']],
    ['third&_include=Observation:subject&_include=Observation:derived-from', ['child', 'second']],
    [
      'third&_include=Observation:subject&_include:iterate=Patient:general-practitioner',
      ['child', 'doctor'],
    ],
    ['third&_include=Observation:subject&_include=Patient:general-practitioner', ['child']],
    ['first&_revinclude=Observation:derived-from', ['second']],
    ['first&_revinclude:iterate=Observation:derived-from', ['second', 'third']],
    [
      'first&_revinclude=Observation:derived-from&_include=Observation:subject',
      ['child', 'second'],
    ],
  ])('Observation?_id=%s brings %j', async (query, expected) => {
    const [name = '', ...rest] = query.split('&')
    const id = of(name).split('/')[1]

    const answer = await as.find(['Observation?_id=' + id, ...rest].join('&'))

    expect(names(answer)).toEqual(expected)
    expect(foundIn(answer)).toEqual([id])
    expect(bundle(answer).total).toBe(1)
  })

  test('a Patient brings what refers to it, also by a column', async () => {
    const id = of('child').split('/')[1]
    const answer = await as.find(`Patient?_id=${id}&_revinclude=Observation:patient`)

    expect(names(answer)).toEqual(['first', 'second', 'third'])
  })

  test('what is named by its URL comes along, and what names it', async () => {
    const { as: own } = await clinic()
    const url = 'http://a.example/Questionnaire/q'
    const form = await own.create({ resourceType: 'Questionnaire', status: 'active', url })
    const filled = await own.create({
      resourceType: 'QuestionnaireResponse',
      status: 'completed',
      questionnaire: `${url}|1`,
    })

    expect(
      await own.included('QuestionnaireResponse?_include=QuestionnaireResponse:questionnaire'),
    ).toEqual([`Questionnaire/${form}`])
    expect(
      await own.included('Questionnaire?_revinclude=QuestionnaireResponse:questionnaire'),
    ).toEqual([`QuestionnaireResponse/${filled}`])
    expect(await own.ids('QuestionnaireResponse?questionnaire.status=active')).toEqual([filled])
    expect(await own.ids('QuestionnaireResponse?questionnaire.status=draft')).toEqual([])
    const has = 'Questionnaire?_has:QuestionnaireResponse:questionnaire:status'
    expect(await own.ids(`${has}=completed`)).toEqual([form])
    expect(await own.ids(`${has}=in-progress`)).toEqual([])
  })

  test('what several matches refer to, or what refers to several, comes along once', async () => {
    const { as: own } = await clinic()
    const one = await own.create(observationOf({}))
    const two = await own.create(observationOf({}))
    const derivedFrom = [one, two].map((id) => ({ reference: `Observation/${id}` }))
    const three = await own.create(observationOf({ derivedFrom }))
    const four = await own.create(observationOf({ derivedFrom: derivedFrom.slice(0, 1) }))

    expect(
      await own.included(`Observation?_id=${three},${four}&_include=Observation:derived-from`),
    ).toEqual([one, two].map((id) => `Observation/${id}`).toSorted())
    expect(
      await own.included(`Observation?_id=${one},${two}&_revinclude=Observation:derived-from`),
    ).toEqual([three, four].map((id) => `Observation/${id}`).toSorted())
  })

  test('a match does not come along a second time, and includes are not counted', async () => {
    const answer = await as.find('Observation?_count=3&_include=Observation:derived-from')

    expect(foundIn(answer)).toHaveLength(3)
    expect(names(answer)).toEqual([])
  })

  test('a type that the token may not read does not come along; a search of it is refused', async () => {
    const scope = 'system/Observation.rs system/Practitioner.s'
    const { clinicId } = staff
    const some = await service.who({ clinicId, scope, clientId: 'some' })
    const own = searcher(service, some)
    const [, id] = of('third').split('/')

    expect(await own.included(`Observation?_id=${id}&_include=Observation:subject`)).toEqual([])
    for (const query of [
      'Patient?_id=x',
      'Observation?patient.gender=male',
      'Practitioner?_has:Patient:general-practitioner:gender=male',
      'Observation?_has:Observation:derived-from:patient.gender=male',
    ])
      expect((await own.find(query)).status, query).toBe(403)
  })

  test.each([
    '_include=*',
    '_include=Observation:*',
    '_include=Observation',
    '_include=Observation:code',
    '_include=Observation:subject:Nothing',
    '_include=Observation:subject:Practitioner',
    '_include:recurse=Observation:subject',
    '_revinclude=Bogus:subject',
    '_summary=text&_include=Observation:subject',
  ])('%s is refused', async (query) => {
    expect((await as.find(`Observation?${query}`)).status).toBe(400)
  })
})

describe('parts and words', () => {
  test('_elements is for the matches, _summary for all', async () => {
    const { as } = await clinic()
    const child = await as.create(patientOf({ gender: 'male' }))
    await as.create(observationOf({ subject: { reference: `Patient/${child}` }, valueString: 'x' }))
    const at = async (query: string) =>
      entries(await as.find(`Observation?_include=Observation:subject&${query}`)).map(
        ({ resource }) => resource ?? {},
      )

    const [match, include] = await at('_elements=status')
    expect(match).not.toHaveProperty('valueString')
    expect(match).toMatchObject({ status: 'final', meta: { tag: [{ code: 'SUBSETTED' }] } })
    expect(include).toMatchObject({ gender: 'male' })
    const [summary] = await at('_summary=true')
    expect(summary).toMatchObject({ meta: { tag: [{ code: 'SUBSETTED' }] } })
    expect((await as.find('Observation?_summary=some')).status).toBe(400)
  })

  test('an ignored parameter is named in an outcome that is no error', async () => {
    const { as } = await clinic()
    await as.create(patientOf())
    const answer = await as.find('Patient?bogus=1&_text=x&_id:missing=false')

    expect(foundIn(answer)).toHaveLength(1)
    expect(outcomesIn(answer)).toMatchObject([
      {
        resourceType: 'OperationOutcome',
        issue: [
          { severity: 'warning', expression: ['http.bogus'] },
          { severity: 'warning', expression: ['http._text'] },
        ],
      },
    ])
  })

  test('a named query is refused, lenient or not', async () => {
    const { as } = await clinic()
    const answer = await as.find('Patient?_query=x', { prefer: 'handling=lenient' })

    expect([answer.status, issues(answer)[0]?.code]).toEqual([400, 'not-supported'])
  })
})

describe('across types and in a compartment, 3.1.0.9.1', () => {
  test('a search across types takes what all of them have', async () => {
    const { staff, as } = await clinic()
    const child = await as.create(patientOf({ meta: { tag: [{ code: 'x' }] } }))
    service.clock.advance(1)
    const seen = await as.create(observationOf({ meta: { tag: [{ code: 'x' }] } }))
    await as.create(observationOf())

    expect(await as.ids('?_type=Patient,Observation&_tag=x')).toEqual([seen, child])
    expect(await as.ids('?_tag=x')).toEqual([seen, child])
    expect((await walk(staff, '?_tag=x&_count=1')).flatMap(foundIn)).toEqual([seen, child])
    expect(bundle(await as.find('?_tag=x&_summary=count')).total).toBe(2)
    expect(linkOf(await as.find('?_type=Patient&_tag=x'), 'self')).toBe(
      `${BASE}?_type=Patient&_tag=x`,
    )
    expect((await as.find('?_type=Bogus')).status).toBe(400)
    const some = await service.who({
      clinicId: staff.clinicId,
      scope: 'system/Patient.s',
      clientId: 'patients',
    })
    const own = searcher(service, some)
    expect(await own.ids('?_tag=x')).toEqual([child])
    expect((await own.find('?_type=Patient,Observation&_tag=x')).status).toBe(403)
  })

  test('by a form too', async () => {
    const { staff, as } = await clinic()
    const id = await as.create(patientOf())
    const answer = await service.send(staff, {
      method: 'POST',
      url: '/fhir/_search',
      body: `_type=Patient&_id=${id}`,
      headers: { 'content-type': 'application/x-www-form-urlencoded' },
    })

    expect(foundIn(answer)).toEqual([id])
  })

  test('a compartment holds what is about the child, its tasks included, and nothing else', async () => {
    const { as } = await clinic()
    const child = await as.create(patientOf())
    const other = await as.create(patientOf())
    const subject = { reference: `Patient/${child}` }
    const seen = await as.create(observationOf({ subject }))
    await as.create(observationOf({ subject: { reference: `Patient/${other}` } }))
    const performed = await as.create(
      observationOf({ performer: [{ reference: `Patient/${child}` }] }),
    )
    const task = await as.create({
      resourceType: 'Task',
      status: 'requested',
      intent: 'order',
      for: subject,
    })

    expect((await as.ids(`Patient/${child}/Observation`)).toSorted()).toEqual(
      [seen, performed].toSorted(),
    )
    expect(await as.ids(`Patient/${child}/Task?status=requested`)).toEqual([task])
    expect((await as.ids(`Patient/${child}/*`)).toSorted()).toEqual(
      [child, seen, performed, task].toSorted(),
    )
    expect(await as.ids(`Patient/${child}/*?_type=Task`)).toEqual([task])
    expect(await as.ids(`Patient/${randomUUID()}/*`)).toEqual([])
    expect(linkOf(await as.find(`Patient/${child}/Observation?code=x`), 'self')).toBe(
      `${BASE}/Patient/${child}/Observation?code=x`,
    )
    expect((await as.find(`Patient/${child}/Practitioner`)).status).toBe(404)
    expect((await as.find(`Patient/${child}/Bogus`)).status).toBe(404)
    expect((await as.find(`Patient/${child}/_history`)).status).toBe(200)
  })

  test('a partner finds its own compartment of the clinic alone, however it asks', async () => {
    const { staff, partner, other } = await service.clinic()
    const mine = searcher(service, partner)
    const child = await mine.create(patientOf({ name: [{ family: 'Alpha' }] }))
    const seen = await mine.create(observationOf({ subject: { reference: `Patient/${child}` } }))
    const theirs = searcher(service, other)

    for (const query of [
      'Patient',
      'Patient?family=alpha',
      `Patient?_has:Observation:patient:_id=${seen}`,
      'Observation?patient.family=alpha',
      '?_type=Patient,Observation',
      `Patient/${child}/*`,
    ])
      expect([await theirs.ids(query), (await mine.ids(query)).length > 0], query).toEqual([
        [],
        true,
      ])
    expect(bundle(await theirs.find('Patient?_summary=count')).total).toBe(0)
    expect(await searcher(service, staff).ids('Patient?family=alpha')).toEqual([child])
  })
})

test('a search that takes longer than it may is for the caller to narrow', async () => {
  const slow = await testService({ statementTimeoutMs: 300 })
  const { staff } = await slow.clinic()
  const find = () => slow.send(staff, { url: '/fhir/Patient' })
  expect((await find()).status).toBe(200)

  // Nobody reads the table as long as its owner holds it.
  await slow.sql('begin')
  await slow.sql('lock table resources in access exclusive mode')
  const answer = await find()
  await slow.sql('rollback')

  expect([answer.status, issues(answer)[0]?.code]).toEqual([400, 'too-costly'])
  await slow.close()
})
