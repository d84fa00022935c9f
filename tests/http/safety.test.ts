import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import {
  bundleOf,
  changed,
  coded,
  identifierOf,
  type Json,
  observed,
  type Parts,
  referralParts,
  withPart,
} from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  keptAs,
  resource,
  resources,
  START,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// What must not go unnoticed on the way from a sender's record to the decision.

let service: TestService
let partner: Who
beforeAll(async () => {
  service = await testService()
  partner = (await service.clinic()).partner
})
afterAll(() => service.close())

/** Does something at another time, with a token of that time. */
async function at<T>(time: string, act: () => Promise<T>): Promise<T> {
  const before = partner
  service.clock.set(time)
  partner = await service.who(before)
  const done = await act()
  service.clock.set(START)
  partner = before
  return done
}

const post = (url: string, body: unknown) =>
  service.send(partner, { method: 'POST', url: `/fhir${url}`, body })

const Task = z.looseObject({
  priority: z.string(),
  statusReason: z.object({ text: z.string() }),
  restriction: z.object({ period: z.object({ end: z.string() }) }),
})

async function referred(parts: Parts) {
  const sent = await service.refer(partner, parts)
  const place = (name: string) => keptAs(sent, parts, name)
  const task = async () =>
    Task.parse(resource(await service.send(partner, { url: `/fhir/${place('task')}` })))
  const triage = async () => resources(await post(`/${place('referral')}/$triage`, undefined))
  return { place, task, triage }
}

const outcomeOf = (found: readonly Json[]) =>
  z
    .object({
      valueCodeableConcept: z.object({ coding: z.tuple([z.object({ code: z.string() })]) }),
    })
    .parse(
      found.find((one) => JSON.stringify(one['code'] ?? '').includes('"orthosis-suitability"')),
    ).valueCodeableConcept.coding[0].code

const calf = (grade: string, on: string): Json => ({
  ...observed('modified-ashworth-calf', on, {
    valueCodeableConcept: coded('value', `ashworth-${grade}`),
  }),
  bodySite: coded('side', 'left-foot'),
})

test('grades of one calf and one day that disagree are not taken for absent', async () => {
  const parts = withPart(referralParts({ key: 'disagree' }), 'second', calf('3', '2026-03-01'))
  const found = await (await referred(parts)).triage()

  expect(outcomeOf(found)).toBe('undetermined')
  expect(JSON.stringify(found)).toContain(
    'disagree on Modified Ashworth grade of the calf, left foot',
  )
})

test('an exclusion seen where the next day has already begun counts today', async () => {
  const early = calf('2', '2026-03-03T06:00:00+14:00')
  const parts = withPart(referralParts({ key: 'far-east' }), 'early', early)

  const found = await at('2026-03-02T17:00:00.000Z', async () => (await referred(parts)).triage())

  expect(outcomeOf(found)).toBe('unsuitable')
})

test('an observation of a day that has not begun anywhere is refused', async () => {
  const parts = withPart(referralParts({ key: 'future' }), 'later', calf('0', '2026-03-05'))
  const answer = await post('', bundleOf(parts))

  expect(answer.status).toBe(422)
  expect(expressions(answer)[0]).toMatch(/^Bundle\.entry\[\d+\]\.resource\.effectiveDateTime$/)
})

test('what comes in later about a child is computed at once, and the Task says so', async () => {
  const { place, task } = await referred(referralParts({ key: 'later' }))
  const before = await task()

  await post('/Observation', {
    ...calf('2', '2026-03-02'),
    subject: { reference: place('patient') },
  })

  expect(before.statusReason.text).toMatch(/All criteria are met/)
  expect((await task()).statusReason.text).toBe('An exclusion holds: raised tone.')
})

test('the day to be seen by is counted from receipt: waiting raises the urgency, and does not put it off', async () => {
  const { task, triage } = await referred(referralParts({ key: 'slide' }))
  const first = await task()

  const later = await at('2026-03-12T09:00:00.000Z', async () => {
    await triage()
    return task()
  })

  // Received on 2 March: 30 days when routine, 14 when urgent.
  expect([first.priority, first.restriction.period.end]).toEqual(['routine', '2026-04-01'])
  expect([later.priority, later.restriction.period.end]).toEqual(['urgent', '2026-03-16'])
})

test("the referrer's priority is never lowered", async () => {
  const asked = changed(referralParts({ key: 'asked' }), 'referral', { priority: 'stat' })

  expect((await (await referred(asked)).task()).priority).toBe('stat')
})

test('two servers of one Bundle may both have a Patient/1: each fact stays with its child', async () => {
  const [a, b] = ['https://a.example/fhir', 'https://b.example/fhir']
  const patient = (base: string, name: string) => ({
    fullUrl: `${base}/Patient/1`,
    resource: {
      resourceType: 'Patient',
      identifier: [identifierOf('two-servers', name)],
      birthDate: '2024-02-01',
    },
    request: { method: 'POST', url: 'Patient' },
  })
  const tone = {
    fullUrl: `${a}/Observation/1`,
    resource: {
      ...observed('muscle-tone', '2026-03-01', {
        valueCodeableConcept: coded('value', 'tone-low'),
      }),
      subject: { reference: 'Patient/1' },
    },
    request: { method: 'POST', url: 'Observation' },
  }
  const answer = await post('', {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [patient(a, 'a'), patient(b, 'b'), tone],
  })
  const locations = z
    .object({ entry: z.array(z.object({ response: z.object({ location: z.string() }) })) })
    .parse(answer.json)
    .entry.map(({ response }) => response.location.replace(/^.*\/fhir|\/_history.*$/g, ''))

  const kept = await service.send(partner, { url: `/fhir${locations[2]}` })

  expect(resource(kept)['subject']).toEqual({ reference: locations[0]?.slice(1) })
})

const refusedObservation = async (change: Json): Promise<Answer> => {
  const { place } = await referred(referralParts({ key: randomUUID() }))
  const skin = observed('open-skin', '2026-03-01', { valueBoolean: false })
  return post('/Observation', {
    ...skin,
    bodySite: coded('side', 'left-foot'),
    subject: { reference: place('patient') },
    ...change,
  })
}

const system = 'https://footing.example/fhir/CodeSystem/observation'
test.each<[string, Json, string]>([
  [
    'a computed finding beside an observed one',
    {
      code: {
        coding: [
          { system, code: 'open-skin' },
          { system, code: 'orthosis-suitability' },
        ],
      },
    },
    'Observation.code',
  ],
  [
    'two facts in one observation',
    {
      code: {
        coding: [
          { system, code: 'open-skin' },
          { system, code: 'insensate-foot' },
        ],
      },
    },
    'Observation.code',
  ],
  [
    'both feet at once',
    {
      bodySite: {
        coding: ['left-foot', 'right-foot'].map((code) => ({
          system: 'https://footing.example/fhir/CodeSystem/side',
          code,
        })),
      },
    },
    'Observation.bodySite',
  ],
])('%s is refused', async (_title, change, expression) => {
  const answer = await refusedObservation(change)

  expect([answer.status, expressions(answer)]).toEqual([422, [expression]])
})

test('a foot of 12 mm is refused with the question whether the unit is right', async () => {
  const parts = changed(referralParts({ key: 'unit-slip' }), 'foot-length.left', {
    valueQuantity: { value: 13.8, unit: 'mm', system: 'http://unitsofmeasure.org', code: 'mm' },
  })
  const answer = await post('', bundleOf(parts))

  expect(answer.status).toBe(422)
  expect(answer.text).toContain('are centimetres and millimetres mixed up?')
})

test('faults of our profiles are told beside those of R4', async () => {
  const parts = changed(
    changed(referralParts({ key: 'both' }), 'organization', { unknownElement: true }),
    'open-skin.left',
    { bodySite: undefined },
  )
  const answer = await post('', bundleOf(parts))

  expect(answer.status).toBe(400)
  expect(answer.text).toContain('unknownElement')
  expect(expressions(answer).some((one) => one.endsWith('.bodySite'))).toBe(true)
})

test('an AuditEvent is written by the service only', async () => {
  expect((await post('/AuditEvent', { resourceType: 'AuditEvent' })).status).toBe(405)
})
