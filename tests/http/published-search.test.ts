import { beforeAll, expect, test } from 'vitest'
import { type Json, referralParts, without } from '../helpers/referral.ts'
import {
  type Answer,
  bundle,
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

test('a search across types finds the form too, and says where what is published alone is found', async () => {
  expect(urls(await find(`?_type=Questionnaire&_id=referral-intake`))).toEqual([FORM])
  expect(urls(await find(`?_type=Patient,Questionnaire&_id=referral-intake`))).toEqual([FORM])
  expect(urls(await find(`?_id=referral-intake`))).toEqual([FORM])
  const definitions = await find('?_type=StructureDefinition,Patient&_id=x')
  expect(definitions.status).toBe(400)
  expect(definitions.text).toContain('[base]/StructureDefinition?')
})

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
