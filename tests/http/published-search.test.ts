import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { type Json, referralParts, without } from '../helpers/referral.ts'
import {
  type Answer,
  bundle,
  entries,
  expressions,
  issues,
  linkOf,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// What is published is found by its canonical, as R4 has it for canonical resources (search parameters
// `url` and `version`), also where the type is one that is kept as well.

const FORM = 'https://footing.example/fhir/Questionnaire/referral-intake'
const PLAN = 'https://footing.example/fhir/PlanDefinition/orthotic-referral'

let service: TestService
let partner: Who
let version: string

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  const [, ...words] = service.service.context.software.split(' ')
  version = words.join(' ')
  return service.close
})

const find = (query: string, who: Who | undefined = partner) =>
  service.send(who, { url: `/fhir/${query}` })
const urls = (answer: Answer) => resources(answer).map((one) => one['url'])

test.each([
  ['Questionnaire', FORM],
  ['PlanDefinition', PLAN],
  ['ActivityDefinition', 'https://footing.example/fhir/ActivityDefinition/referral-task'],
])('a %s is found by url, and by url and version', async (type, url) => {
  expect(urls(await find(`${type}?url=${url}`))).toEqual([url])
  expect(urls(await find(`${type}?url=${url}&version=${version}`))).toEqual([url])
  expect(urls(await find(`${type}?url=${url}&version=0.0.0-other`))).toEqual([])
  expect(urls(await find(`${type}?url=${url}-other`))).toEqual([])
})

test('what is found is what a read answers', async () => {
  const [found] = resources(await find(`Questionnaire?url=${FORM}`))

  expect(found).toEqual(resource(await find('Questionnaire/referral-intake')))
})

test('by a form, in a Bundle, and by its title too', async () => {
  const byForm = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Questionnaire/_search',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: `url=${FORM}`,
  })
  const entry = [{ request: { method: 'GET', url: `Questionnaire?url=${FORM}` } }]
  const body = { resourceType: 'Bundle', type: 'batch', entry }
  const inBatch = await service.send(partner, { method: 'POST', url: '/fhir', body })

  expect(urls(byForm)).toEqual([FORM])
  expect(inBatch.text).toContain(`"url":"${FORM}"`)
})

test('a search across types finds the form too, and what is published alone where it is named', async () => {
  expect(urls(await find(`?_type=Questionnaire&_id=referral-intake`))).toEqual([FORM])
  expect(urls(await find(`?_type=Patient,Questionnaire&_id=referral-intake`))).toEqual([FORM])
  expect(urls(await find(`?_id=referral-intake`))).toEqual([FORM])
  expect(urls(await find('?_type=PlanDefinition,Patient&_id=orthotic-referral'))).toEqual([PLAN])
  const alone = await find('StructureDefinition?_count=100')
  const across = await find('?_type=StructureDefinition&_count=100')
  expect(urls(across)).toEqual(urls(alone))
  expect((await find('?_type=Spaceship')).status).toBe(400)
})

test.each([
  ['StructureDefinition?kind=', 'http://hl7.org/fhir/structure-definition-kind', 'resource'],
  ['SearchParameter?base=', 'http://hl7.org/fhir/resource-types', 'Task'],
  ['OperationDefinition?kind=', 'http://hl7.org/fhir/operation-kind', 'operation'],
  ['CodeSystem?content-mode=', 'http://hl7.org/fhir/codesystem-content-mode', 'complete'],
  ['ValueSet?status=', 'http://hl7.org/fhir/publication-status', 'active'],
])(
  '%s finds a code with the system that its binding implies (3.1.1.4.10)',
  async (query, system, code) => {
    const found = async (value: string) =>
      urls(await find(`${query}${encodeURIComponent(value)}&_count=100`))
    const all = await found(code)

    expect(all.length).toBeGreaterThan(0)
    expect(await found(`${system}|${code}`)).toEqual(all)
    expect(await found(`urn:x|${code}`)).toEqual([])
  },
)

test('of what is published the system of a code is the implied one too (3.1.1.4.10)', async () => {
  const totalOf = async (status: string) =>
    bundle(await find(`StructureDefinition?_summary=count&status=${status}`)).total
  const all = await totalOf('active')

  expect(all).toBeGreaterThan(0)
  expect(await totalOf('http://hl7.org/fhir/publication-status|active')).toBe(all)
  expect(await totalOf('urn:x|active')).toBe(0)
})

test('it is counted, and without the scope it is not searched', async () => {
  const counted = await find(`Questionnaire?url=${FORM}&_summary=count`)
  const reader = await service.who({
    clinicId: partner.clinicId,
    scope: 'system/Patient.rs',
    clientId: 'no-forms',
  })

  expect(bundle(counted)).toMatchObject({ total: 1 })
  expect(resources(counted)).toEqual([])
  expect((await find(`Questionnaire?url=${FORM}`, reader)).status).toBe(403)
})

test('beside forms that are kept it comes last, on pages of one as on one page', async () => {
  for (const key of ['one', 'two']) {
    const left = key === 'one' ? ['muscle-tone'] : ['muscle-tone', 'open-skin']
    const parts = without(referralParts({ key }), 'condition', 'generalised-laxity', ...left)
    await service.refer(partner, parts)
  }
  const whole = await find('Questionnaire?_total=accurate')
  const idsOf = (answer: Answer) => resources(answer).map((one: Json) => one['id'])

  const walked: unknown[] = []
  let next: string | undefined = '/fhir/Questionnaire?_count=1&_total=accurate'
  for (let page = 0; next !== undefined && page < 10; page += 1) {
    const answer: Answer = await service.send(partner, { url: next })
    expect(resources(answer).length).toBeLessThanOrEqual(1)
    expect(bundle(answer).total).toBe(bundle(whole).total)
    walked.push(...idsOf(answer))
    next = linkOf(answer, 'next')?.replace(/^https:\/\/[^/]+/, '')
  }

  expect(bundle(whole).total).toBe(3)
  expect(idsOf(whole).at(-1)).toBe('referral-intake')
  expect(walked).toEqual(idsOf(whole))
})

test.each(['title', '-title', '_id', '-_id', '-_lastUpdated', 'status,-title'])(
  'beside forms that are kept it comes where _sort=%s puts it, on pages of any size (R4 3.1.1.5.1)',
  async (sort) => {
    for (const title of ['Zebra invented', 'alpha invented', 'Orthotic referral', undefined])
      await service.send(partner, {
        method: 'POST',
        url: '/fhir/Questionnaire',
        body: { resourceType: 'Questionnaire', status: 'active', title },
        headers: { 'if-none-exist': `title:exact=${title ?? 'none'}` },
      })
    const [first = '', direction] = (sort.split(',').at(-1) ?? '').split('-').toReversed()
    const valueOf = ({ id, title, meta }: Json): string | undefined =>
      ({ title: title as string | undefined, _id: String(id) })[first] ??
      (first === '_lastUpdated'
        ? z.object({ lastUpdated: z.string() }).parse(meta).lastUpdated
        : undefined)
    const idsOf = (answer: Answer) => resources(answer).map((one: Json) => one['id'])
    const whole = resources(await find(`Questionnaire?_sort=${sort}&_count=100`))
    const values = whole.map((one) => valueOf(one)?.toLowerCase())
    const told = values.filter((value) => value !== undefined)
    const inOrder = told.toSorted((a, b) => (a < b ? -1 : Number(a > b)))

    expect(whole.map((one) => one['id'])).toContain('referral-intake')
    expect(told).toEqual(direction === undefined ? inOrder : inOrder.toReversed())
    expect(values.slice(0, told.length)).toEqual(told)
    for (const count of [1, 2, 3]) {
      const walked: unknown[] = []
      let next: string | undefined = `/fhir/Questionnaire?_sort=${sort}&_count=${count}`
      for (let page = 0; next !== undefined && page < 50; page += 1) {
        const answer: Answer = await service.send(partner, { url: next })
        walked.push(...idsOf(answer))
        next = linkOf(answer, 'next')?.replace(/^https:\/\/[^/]+/, '')
      }
      expect(walked).toEqual(whole.map((one) => one['id']))
    }
  },
)

test('pages are walked by links that nobody can guess, alone and across types', async () => {
  for (const query of ['ValueSet?_count=5', '?_type=ValueSet,CodeSystem,Questionnaire&_count=5']) {
    const whole = await find(query.replace('_count=5', '_count=100'))
    const walked: unknown[] = []
    let next: string | undefined = `/fhir/${query}`
    for (let page = 0; next !== undefined && page < 50; page += 1) {
      const answer: Answer = await service.send(partner, { url: next })
      expect(resources(answer).length).toBeLessThanOrEqual(5)
      walked.push(...urls(answer))
      next = linkOf(answer, 'next')?.replace(/^https:\/\/[^/]+/, '')
      expect(next ?? '').not.toContain('_cursor=side')
    }
    expect(walked.length).toBeGreaterThan(10)
    expect(walked).toEqual(urls(whole))
  }
  const guessed = await find('ValueSet?_count=5&_cursor=side')
  expect([guessed.status, expressions(guessed)]).toEqual([400, ['http._cursor']])
})

test('_sort orders it by any search parameter (R4 3.1.1.5.1)', async () => {
  const inOrder = async (element: string, sort: string) =>
    resources(await find(`OperationDefinition?_count=100&_sort=${sort}`)).map((one) =>
      String(one[element]).toLowerCase(),
    )
  const byText = (a: string, b: string) => (a < b ? -1 : 1)
  const names = await inOrder('name', 'name')

  expect(names.length).toBeGreaterThan(10)
  expect(names).toEqual(names.toSorted(byText))
  expect(await inOrder('name', '-name')).toEqual(names.toReversed())
  const ids = await inOrder('id', '-_id')
  expect(ids).toEqual(ids.toSorted(byText).toReversed())
  expect(linkOf(await find('ValueSet?_sort=-name'), 'self')).toContain('_sort=-name')
  expect((await find('ValueSet?_sort=no-such')).status).toBe(400)
})

test('what it refers to and is referred to by comes along (R4 3.1.1.5.4)', async () => {
  const included = (answer: Answer) =>
    entries(answer).flatMap(({ search, resource: one }) =>
      search?.mode === 'include' ? [String(one?.['url'])] : [],
    )
  const tasks = 'https://footing.example/fhir/ActivityDefinition'
  const both = [`${tasks}/orthotic-referral`, `${tasks}/referral-task`]

  const asked = 'PlanDefinition?_include=PlanDefinition:definition'
  expect(included(await find(asked)).toSorted()).toEqual(both)
  expect(included(await find(asked, undefined)).toSorted()).toEqual(both)
  const across = '?_type=PlanDefinition&_include=PlanDefinition:definition'
  expect(included(await find(across)).toSorted()).toEqual([...both, FORM])
  const has = 'ActivityDefinition?_has:PlanDefinition:definition:status=active'
  expect(
    urls(await find(has, undefined))
      .map(String)
      .toSorted(),
  ).toEqual(both)
  expect(urls(await find('Questionnaire?_has:PlanDefinition:definition:status=active'))).toEqual([
    FORM,
  ])
  expect(urls(await find(has.replace('active', 'draft')))).toEqual([])
  const deeper = 'ActivityDefinition?_has:PlanDefinition:definition:'
  const kept = await find(`${deeper}_has:CarePlan:instantiates-canonical:status=active`)
  expect([kept.status, issues(kept).length]).toEqual([400, 1])
  const back = 'ActivityDefinition?_revinclude=PlanDefinition:definition'
  expect(included(await find(back, undefined))).toEqual([PLAN])
  const closed = 'PlanDefinition?_revinclude=CarePlan:instantiates-canonical'
  const open = await find(closed, undefined)
  expect(included(open)).toEqual([])
  // Never an error: the search was made, though without something (R4 3.1.0.9).
  expect(entries(open).map(({ search }) => search?.mode)).toEqual(['match', 'outcome'])
  expect(open.text).toContain('"severity":"warning"')
  expect(entries(await find(back, undefined)).map(({ search }) => search?.mode)).not.toContain(
    'outcome',
  )
  const hasKept = 'PlanDefinition?_has:CarePlan:instantiates-canonical:status=active'
  expect((await find(hasKept, undefined)).status).toBe(400)
})

test('a chain among what is published is followed (R4 3.1.1.4.16)', async () => {
  const chain = (title: string) => find(`PlanDefinition?definition:ActivityDefinition.url=${title}`)

  expect(
    urls(await chain('https://footing.example/fhir/ActivityDefinition/referral-task')),
  ).toEqual([PLAN])
  expect(urls(await chain('https://footing.example/fhir/ActivityDefinition/other'))).toEqual([])
})

test('what is kept leads to what is published: chains, _has and includes (R4 3.1.1.4.16, 3.1.1.5.4)', async () => {
  const { staff } = await service.clinic()
  const versions = [FORM, `${FORM}|${version}`, 'https://other.example/Questionnaire/x']
  const ids: string[] = []
  for (const questionnaire of versions) {
    const body = { resourceType: 'QuestionnaireResponse', status: 'in-progress', questionnaire }
    const sent = await service.send(staff, {
      method: 'POST',
      url: '/fhir/QuestionnaireResponse',
      body,
    })
    expect(sent.status, sent.text).toBe(201)
    ids.push(String(resource(sent)['id']))
  }
  const form = resource(await find('Questionnaire/referral-intake', staff))
  const idsOf = async (query: string) =>
    resources(await find(query, staff)).map((one) => String(one['id']))
  const ours = ids.slice(0, 2).toSorted()

  const name = encodeURIComponent(String(form['name']))
  const named = await idsOf(`QuestionnaireResponse?questionnaire.name=${name}`)
  expect(named.toSorted()).toEqual(ours)
  expect(await idsOf('QuestionnaireResponse?questionnaire.name=other')).toEqual([])
  const has = (status: string) =>
    idsOf(`Questionnaire?_has:QuestionnaireResponse:questionnaire:status=${status}`)
  expect(await has('in-progress')).toEqual(['referral-intake'])
  expect(await has('completed')).toEqual([])
  const along = await idsOf('QuestionnaireResponse?_include=QuestionnaireResponse:questionnaire')
  expect(along.toSorted()).toEqual([...ids, 'referral-intake'].toSorted())
  const back = await idsOf(
    'Questionnaire?_id=referral-intake&_revinclude=QuestionnaireResponse:questionnaire',
  )
  expect(back.toSorted()).toEqual([...ours, 'referral-intake'].toSorted())
})

test('what is kept alone is named by its canonical as well (R4 3.1.1.5.4)', async () => {
  const { staff } = await service.clinic()
  const url = 'https://example.org/Questionnaire/kept-alone'
  const form = { resourceType: 'Questionnaire', status: 'active', url }
  const answers = {
    resourceType: 'QuestionnaireResponse',
    status: 'in-progress',
    questionnaire: url,
  }
  for (const body of [form, answers]) {
    const { resourceType } = body
    const sent = { method: 'POST', url: `/fhir/${resourceType}`, body } as const
    expect((await service.send(staff, sent)).status).toBe(201)
  }

  const back = await find(
    `Questionnaire?url=${url}&_revinclude=QuestionnaireResponse:questionnaire`,
    staff,
  )
  expect(resources(back).map((one) => one['resourceType'])).toEqual([
    'Questionnaire',
    'QuestionnaireResponse',
  ])
})

test('_include:iterate goes on from what is kept to what is published, and back (R4 3.1.1.5.4)', async () => {
  const sent = await service.refer(partner, referralParts({ key: 'iterate' }))
  const child = entries(sent).map(({ response }) => response?.location ?? '')
  const subject = child
    .find((one) => one.includes('/Patient/'))
    ?.replace(/.*(Patient\/[^/]+).*/, '$1')
  const tasks = 'https://footing.example/fhir/ActivityDefinition'
  for (const instantiatesCanonical of [[PLAN], [`${tasks}/referral-task`]]) {
    const body = {
      resourceType: 'Communication',
      status: 'completed',
      subject: { reference: subject },
      instantiatesCanonical,
    }
    const made = await service.send(partner, { method: 'POST', url: '/fhir/Communication', body })
    expect(made.status, made.text).toBe(201)
  }
  const plans = `_include=Communication:instantiates-canonical`
  const next = `_include:iterate=PlanDefinition:definition`

  const on = await find(`Communication?${plans}&${next}`)
  const included = urls(on).flatMap((url) => (typeof url === 'string' ? [url] : []))
  expect(included.toSorted()).toEqual([
    `${tasks}/orthotic-referral`,
    `${tasks}/referral-task`,
    PLAN,
    FORM,
  ])
  const back = await find(
    '?_type=PlanDefinition&_include=PlanDefinition:definition&_revinclude:iterate=Communication:instantiates-canonical',
  )
  const types = resources(back).map((one) => String(one['resourceType']))
  expect(types.filter((type) => type === 'Communication')).toHaveLength(2)
})

// Subscriptions R5 Backport, "Topic-Based Subscriptions": in R4 a topic is known by its canonical URL.
test('the canonical of every topic that the CapabilityStatement lists leads to a page', async () => {
  const Listed = z.object({
    rest: z.array(
      z.object({
        resource: z.array(
          z.object({
            type: z.string(),
            extension: z.array(z.object({ valueCanonical: z.string() })).optional(),
          }),
        ),
      }),
    ),
  })
  const statement = Listed.parse((await find('metadata', undefined)).json)
  const listed = statement.rest[0]?.resource.find(({ type }) => type === 'Subscription')
  const topics = (listed?.extension ?? []).map(({ valueCanonical }) => valueCanonical)

  expect(topics.length).toBeGreaterThan(3)
  for (const topic of topics) {
    const { pathname } = new URL(topic)
    const asked = { url: pathname, headers: { accept: 'text/html' } }
    const page = await service.send(undefined, asked)
    expect([page.status, page.headers['content-type']]).toEqual([200, 'text/html; charset=utf-8'])
    expect(page.text).toContain(topic)
    const json = await service.send(undefined, { url: pathname })
    expect([json.status, issues(json).length]).toEqual([404, 1])
  }
  const asked = { url: '/fhir/SubscriptionTopic/no-such', headers: { accept: 'text/html' } }
  expect((await service.send(undefined, asked)).status).toBe(404)
})
