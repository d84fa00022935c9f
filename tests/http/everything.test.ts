import { beforeAll, describe, expect, test } from 'vitest'
import { type Json, referralParts } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  bundle,
  entries,
  expressions,
  keptAs,
  linkOf,
  resource,
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
let second: (name: string) => string

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  const parts = referralParts({ key: 'everything' })
  const answer = await service.refer(partner, parts)
  place = (name) => keptAs(answer, parts, name)
  patient = place('patient')
  const others = referralParts({ key: 'another' })
  const another = await service.refer(partner, others)
  second = (name) => keptAs(another, others, name)
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

/** Every match of a walk from link to link, and how many there were on each page. */
async function walk(path: string, who = partner) {
  const walked: string[] = []
  const sizes: number[] = []
  let url: string | undefined = `${BASE}/${path}`
  while (url !== undefined) {
    const answer: Answer = await service.send(who, { url: url.replace(BASE, '/fhir') })
    expect(answer.status, answer.text).toBe(200)
    const page = places(answer, 'match')
    sizes.push(page.length)
    walked.push(...page)
    url = linkOf(answer, 'next')
  }
  return { walked, sizes }
}

test.each([1, 7])('pages hold up to %i matches, and every match comes once', async (count) => {
  const whole = places(await ask('?_count=200'), 'match')

  const { walked, sizes } = await walk(`${patient}/$everything?_count=${count}`)

  expect(walked).toEqual(whole)
  expect(walked[0]).toBe(patient)
  expect(Math.max(...sizes)).toBe(count)
})

describe('of every Patient in sight', () => {
  test('the Patients come first, then all that is about them, each once', async () => {
    const { walked } = await walk('Patient/$everything?_count=50')
    const firstOther = walked.findIndex((one) => !one.startsWith('Patient/'))

    expect(new Set(walked).size).toBe(walked.length)
    expect(walked.slice(0, firstOther)).toContain(patient)
    expect(walked.slice(0, firstOther)).toContain(second('patient'))
    expect(walked.slice(firstOther).filter((one) => one.startsWith('Patient/'))).toEqual([])
    for (const part of ['task', 'condition', 'walking-alone', 'guardian'])
      for (const of of [place, second]) expect(walked).toContain(of(part))
  })

  test('it is what is had of each of them, whatever the size of the pages', async () => {
    const each = [
      ...(await walk(`${patient}/$everything?_count=200`)).walked,
      ...(await walk(`${second('patient')}/$everything?_count=200`)).walked,
    ]

    for (const count of [1, 2, 200]) {
      const { walked } = await walk(
        `Patient/$everything?_count=${count}&_type=Patient,Task,Condition`,
      )
      const types = /^(Patient|Task|Condition)\//
      expect(walked.toSorted()).toEqual(each.filter((one) => types.test(one)).toSorted())
    }
    const { walked } = await walk('Patient/$everything?_count=200')
    expect(walked.toSorted()).toEqual(each.toSorted())
  })

  test('what is about no Patient is not in it', async () => {
    const group = await service.send(partner, {
      method: 'POST',
      url: '/fhir/Group',
      body: { resourceType: 'Group', type: 'person', actual: true },
    })

    const { walked } = await walk('Patient/$everything?_count=200')

    expect(group.status).toBe(201)
    expect(walked.filter((one) => one.startsWith('Group/'))).toEqual([])
  })

  test('another partner has none of them; staff have all', async () => {
    expect((await walk('Patient/$everything', other)).walked).toEqual([])
    expect((await walk('Patient/$everything?_type=Patient', staff)).walked).toContain(patient)
  })

  test('it needs the search of Patients', async () => {
    const reader = await service.who({ clinicId: staff.clinicId, scope: 'system/Patient.r' })

    expect((await service.send(reader, { url: '/fhir/Patient/$everything' })).status).toBe(403)
  })

  test('it may be asked by POST', async () => {
    const answer = await service.send(partner, {
      method: 'POST',
      url: '/fhir/Patient/$everything',
      body: { resourceType: 'Parameters', parameter: [{ name: '_count', valueInteger: 1 }] },
    })

    expect(places(answer, 'match')).toHaveLength(1)
  })
})

test('a type that the token does not allow: 403 when it is named, else left out', async () => {
  const who = await service.who({
    clinicId: staff.clinicId,
    scope: 'system/Patient.r system/Condition.rs',
  })
  const types = places(await ask('', who)).map((one) => one.split('/')[0])

  expect(new Set(types)).toEqual(new Set(['Patient', 'Condition']))
  expect((await ask('?_type=Observation', who)).status).toBe(403)
})

test('a Patient that is not there: 404; one that was deleted: 410', async () => {
  const made = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Patient',
    body: {
      resourceType: 'Patient',
      identifier: [{ system: 'https://partner.example/ids', value: 'everything-alone' }],
      name: [{ family: 'Musterkind', given: ['Erfunden'] }],
      gender: 'female',
      birthDate: '2024-05-01',
    },
  })
  const gone = placeOf(resource(made))
  const deleted = await service.send(partner, { method: 'DELETE', url: `/fhir/${gone}` })

  expect([made.status, deleted.status], made.text).toEqual([201, 204])
  expect((await service.send(partner, { url: `/fhir/${gone}/$everything` })).status).toBe(410)
  expect((await service.send(partner, { url: '/fhir/Patient/nobody/$everything' })).status).toBe(
    404,
  )
})

test('a body that is no Parameters is refused rather than left out', async () => {
  const answer = await service.send(partner, {
    method: 'POST',
    url: `/fhir/${patient}/$everything`,
    body: { resourceType: 'Patient' },
  })

  expect(answer.status).toBe(400)
})

test('_type narrows it', async () => {
  const found = places(await ask('?_type=Task,Condition'), 'match')

  expect(new Set(found.map((one) => one.split('/')[0]))).toEqual(new Set(['Task', 'Condition']))
})

// "One or more parameters, each containing one or more comma-delimited FHIR resource types to include in the return
// resources" (R4, OperationDefinition Patient-everything, _type).
describe('with _type', () => {
  const typesOf = (answer: Answer) => new Set(places(answer).map((one) => one.split('/')[0]))

  test.each(['Task,Condition', 'Patient', 'PractitionerRole', 'Organization,Task', 'Provenance'])(
    '%s nothing else is answered, and all of it',
    async (types) => {
      const named = types.split(',')
      const whole = places(await ask('?_count=200')).filter((one) =>
        named.includes(one.split('/')[0] ?? ''),
      )

      const answer = await ask(`?_type=${types}&_count=200`)

      expect(typesOf(answer)).toEqual(new Set(named))
      expect(places(answer).toSorted()).toEqual(whole.toSorted())
    },
  )

  test('Provenance comes on whatever pages, of all that is in the record', async () => {
    const whole = new Set(places(await ask('?_type=Provenance&_count=200')))
    const walked = new Set<string>()
    let url: string | undefined = `${BASE}/${patient}/$everything?_type=Provenance&_count=5`
    while (url !== undefined) {
      const answer: Answer = await service.send(partner, { url: url.replace(BASE, '/fhir') })
      for (const one of places(answer)) walked.add(one)
      url = linkOf(answer, 'next')
    }

    expect(whole.size).toBeGreaterThan(0)
    expect(walked).toEqual(whole)
  })

  test('what comes along needs its own scope', async () => {
    const who = await service.who({ clinicId: staff.clinicId, scope: 'system/Patient.rs' })

    expect((await ask('?_type=PractitionerRole', who)).status).toBe(403)
  })
})

test('_count=0 tells how many there are, and nothing else (R4 3.1.1.5.2)', async () => {
  const whole = bundle(await ask('?_count=200'))
  const tasks = bundle(await ask('?_count=200&_type=Task'))

  const none = bundle(await ask('?_count=0'))
  const noTask = bundle(await ask('?_count=0&_type=Task'))

  expect([none.entry, noTask.entry]).toEqual([undefined, undefined])
  expect([none.total, noTask.total]).toEqual([whole.total, tasks.total])
  expect(none.total).toBeGreaterThan(10)
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
    const answer = await ask(query)

    expect(answer.status).toBe(400)
    expect(expressions(answer)).toEqual([`http.${/\w+/.exec(query)?.[0]}`])
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
