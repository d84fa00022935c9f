import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import {
  entries,
  issues,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let who: Who
let id: string

const DIV = '<div xmlns="http://www.w3.org/1999/xhtml">An invented practice</div>'

beforeAll(async () => {
  service = await testService()
  ;({ staff: who } = await service.clinic())
  const created = await service.send(who, {
    method: 'POST',
    url: '/fhir/Organization',
    body: {
      resourceType: 'Organization',
      text: { status: 'generated', div: DIV },
      name: 'An invented practice',
      alias: ['Practice'],
      telecom: [{ system: 'phone', value: '555 0100' }],
    },
  })
  id = z.object({ id: z.string() }).parse(created.json).id
  return service.close
})

const ROOT = ['resourceType', 'id', 'meta']
const FORMS: [query: string, kept: string[]][] = [
  ['_summary=true', ['name']],
  ['_summary=text', ['text']],
  ['_summary=data', ['name', 'alias', 'telecom']],
  ['_elements=alias', ['alias']],
  ['_elements=alias,telecom', ['alias', 'telecom']],
  ['_elements=alias&_elements=name', ['name', 'alias']],
  ['_elements=nothing', []],
]
const tagsOf = (part: unknown) =>
  z
    .object({ meta: z.object({ tag: z.array(z.object({ code: z.string() })).default([]) }) })
    .parse(part)
    .meta.tag.map(({ code }) => code)

test.each(FORMS)('S20, I2: a read and a vread with %s keep %j', async (query, names) => {
  for (const url of [`/fhir/Organization/${id}`, `/fhir/Organization/${id}/_history/1`]) {
    const part = resource(await service.send(who, { url: `${url}?${query}` }))

    expect(Object.keys(part)).toEqual([...ROOT, ...names])
    expect(tagsOf(part)).toEqual(['SUBSETTED'])
  }
})

test.each(FORMS)('S20: what a search finds is cut in the same way by %s', async (query, names) => {
  const answer = await service.send(who, { url: `/fhir/Organization?_id=${id}&${query}` })
  const [part] = resources(answer)

  expect(Object.keys(part ?? {})).toEqual([...ROOT, ...names])
  expect(tagsOf(part)).toEqual(['SUBSETTED'])
})

test('S20: false is all of it', async () => {
  const url = `/fhir/Organization/${id}`
  const whole = await service.send(who, { url })

  expect((await service.send(who, { url: `${url}?_summary=false` })).text).toBe(whole.text)
  expect(tagsOf(whole.json)).toEqual([])
})

test('S18, S20: count is for a search', async () => {
  const found = await service.send(who, { url: `/fhir/Organization?_id=${id}&_summary=count` })

  expect(found.json).toMatchObject({ type: 'searchset', total: 1 })
  expect(entries(found)).toEqual([])
})

test.each([
  ['_summary=count', 'http._summary'],
  ['_summary=x', 'http._summary'],
  ['_summary=true&_summary=data', 'http._summary'],
  ['_elements=a.b', 'http._elements'],
  ['_summary=true&_elements=name', 'http._elements'],
])('S20: a read with %s is refused with 400', async (query, expression) => {
  const answer = await service.send(who, { url: `/fhir/Organization/${id}?${query}` })

  expect(answer.status).toBe(400)
  expect(issues(answer)[0]?.expression).toEqual([expression])
})
