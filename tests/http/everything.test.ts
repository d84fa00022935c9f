import { beforeAll, expect, test } from 'vitest'
import { type Json, referralParts } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  entries,
  keptAs,
  linkOf,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Patient/$everything, by patient-operation-everything.html of R4.

let service: TestService
let staff: Who
let partner: Who
let other: Who
let patient: string
let place: (name: string) => string

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  const parts = referralParts({ key: 'everything' })
  const answer = await service.refer(partner, parts)
  place = (name) => keptAs(answer, parts, name)
  patient = place('patient')
  await service.refer(partner, referralParts({ key: 'another' }))
  return service.close
})

const ask = (query = '', who = partner): Promise<Answer> =>
  service.send(who, { url: `/fhir/${patient}/$everything${query}` })
const placeOf = (one: Json | undefined): string =>
  `${String(one?.['resourceType'])}/${String(one?.['id'])}`
const places = (answer: Answer, mode?: string): string[] =>
  entries(answer)
    .filter(({ search }) => mode === undefined || search?.mode === mode)
    .map((entry) => placeOf(entry.resource))

test('the Patient comes first, with all that is about it, each once', async () => {
  const answer = await ask('?_count=200')
  const found = places(answer)

  expect(found[0]).toBe(patient)
  expect(new Set(found).size).toBe(found.length)
  for (const name of ['referral', 'task', 'condition', 'walking-alone', 'foot-length.left'])
    expect(found).toContain(place(name))
  for (const type of ['Provenance', 'PractitionerRole', 'Organization'])
    expect(
      found.some((one) => one.startsWith(`${type}/`)),
      type,
    ).toBe(true)
})

test('nothing of another child is in it', async () => {
  const answer = await ask('?_count=200')
  const children = new Set(answer.text.match(/Patient\/[0-9a-f-]{36}/g))

  expect([...children]).toEqual([patient])
})

test('pages hold as many matches as asked for, and every match once', async () => {
  const whole = places(await ask('?_count=200'), 'match')
  const walked: string[] = []
  let url: string | undefined = `${BASE}/${patient}/$everything?_count=7`
  while (url !== undefined) {
    const answer: Answer = await service.send(partner, { url: url.replace(BASE, '/fhir') })
    expect(answer.status).toBe(200)
    const page = places(answer, 'match')
    expect(page.length).toBeLessThanOrEqual(7)
    walked.push(...page)
    url = linkOf(answer, 'next')
  }

  expect(walked.toSorted()).toEqual(whole.toSorted())
})

test('_type narrows it', async () => {
  const found = places(await ask('?_type=Task,Condition'), 'match')

  expect(new Set(found.map((one) => one.split('/')[0]))).toEqual(new Set(['Task', 'Condition']))
})

test('start and end are of the care: what has a date outside is left out, what has none is in', async () => {
  const found = places(await ask('?start=2031-01-01&_count=200'), 'match')

  expect(found).toContain(patient)
  expect(found).not.toContain(place('walking-alone'))
  expect(found).toContain(place('guardian'))
})

test('_since leaves out what did not change', async () => {
  expect(places(await ask('?_since=2031-01-01T00:00:00Z'), 'match')).toEqual([])
})

test('another partner does not find the child; staff do', async () => {
  expect((await ask('', other)).status).toBe(404)
  expect((await ask('', staff)).status).toBe(200)
})

test.each(['?start=yesterday', '?_since=x', '?nothing=1', '?_type=Medication'])(
  '%s is refused with 400',
  async (query) => {
    expect((await ask(query)).status).toBe(400)
  },
)

test('the parameters may come in a Parameters body', async () => {
  const answer = await service.send(partner, {
    method: 'POST',
    url: `/fhir/${patient}/$everything`,
    body: { resourceType: 'Parameters', parameter: [{ name: '_type', valueCode: 'Task' }] },
  })

  expect(places(answer, 'match')).toEqual([place('task')])
})
