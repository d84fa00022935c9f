import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../../src/fhir/validate.ts'
import { populated } from '../helpers/populated.ts'
import { type Json, referralParts, without } from '../helpers/referral.ts'
import {
  type Answer,
  entries,
  expressions,
  keptAs,
  keptOnce,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// QuestionnaireResponse/$extract of HL7 Structured Data Capture (form data extraction): in
// `questionnaire-response` at the level of the type, out a transaction Bundle; its text is from memory.

let service: TestService
let staff: Who
let partner: Who
let other: Who
let patient: string
let form: string

const PARTS = without(
  referralParts({ key: 'extract' }),
  'muscle-tone',
  'condition',
  'generalised-laxity',
)
const TYPE = '/fhir/QuestionnaireResponse'

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  patient = keptAs(await service.refer(partner, PARTS), PARTS, 'patient')
  const asked = await service.send(partner, { url: `/fhir/Task?patient=${patient}` })
  form = /"valueCanonical":"([^"]+)"/.exec(asked.text)?.[1] ?? ''
  return service.close
})

const TONE = {
  linkId: 'muscle-tone',
  answer: [
    { valueCoding: { system: 'https://footing.example/fhir/CodeSystem/value', code: 'tone-low' } },
  ],
}
const answered = (more: Json = {}): Json => ({
  resourceType: 'QuestionnaireResponse',
  questionnaire: form,
  status: 'completed',
  authored: '2026-03-02',
  subject: { reference: patient },
  item: [TONE],
  ...more,
})
const post = (who: Who | undefined, url: string, body: unknown) =>
  service.send(who, { method: 'POST', url, body })
const ofSent = (body: unknown, who: Who | undefined = partner) =>
  post(who, `${TYPE}/$extract`, body)
const ofKept = (id: string, who: Who | undefined = partner) =>
  service.send(who, { url: `${TYPE}/${id}/$extract` })
const keptTones = async () =>
  resources(
    await service.send(partner, { url: `/fhir/Observation?subject=${patient}&_count=200` }),
  ).filter((one) => JSON.stringify(one['code']).includes('"muscle-tone"'))
/** What an observation says, without what the server gives. */
const saidIn = ({ id: _id, meta: _meta, text: _text, ...rest }: Json): Json => rest
const count = async () =>
  (await service.sql(`select 1 from resource_versions where type <> 'AuditEvent'`)).length
const requestsOf = (answer: Answer) =>
  z
    .object({ entry: z.array(z.object({ request: z.record(z.string(), z.string()) })) })
    .parse(answer.json)
    .entry.map(({ request }) => request)

describe('of the type', () => {
  test('the answers that are sent come back as a valid transaction; nothing is stored', async () => {
    const before = await count()

    const answer = await ofSent(answered())

    expect(answer.status, answer.text).toBe(200)
    expect(validateResource(answer.json)).toEqual([])
    expect(resource(answer)['type']).toBe('transaction')
    expect(resources(answer)).toMatchObject([
      {
        resourceType: 'Observation',
        status: 'final',
        subject: { reference: patient },
        effectiveDateTime: '2026-03-02',
        valueCodeableConcept: { coding: [{ code: 'tone-low' }] },
      },
    ])
    expect(requestsOf(answer)).toMatchObject([{ method: 'POST', url: 'Observation' }])
    expect(await count()).toBe(before)
    expect(await keptTones()).toEqual([])
  })

  test('the same in Parameters, by the name that Structured Data Capture gives it', async () => {
    const parameter = [{ name: 'questionnaire-response', resource: answered() }]

    const answer = await ofSent({ resourceType: 'Parameters', parameter })

    expect(resources(answer)).toEqual(resources(await ofSent(answered())))
  })

  test.each([
    ['nothing', undefined, 400, "Parameters.parameter.where(name='questionnaire-response')"],
    [
      'Parameters without it',
      { resourceType: 'Parameters' },
      400,
      "Parameters.parameter.where(name='questionnaire-response')",
    ],
    ['another type', { resourceType: 'Patient' }, 400, 'Patient.resourceType'],
  ])('%s is refused', async (_title, body, status, at) => {
    const answer = await ofSent(body)

    expect([answer.status, ...expressions(answer)]).toEqual([status, at])
  })

  test.each([
    ['answers that are not given for good', { status: 'in-progress' }, 'status'],
    [
      'answers to a form of others',
      { questionnaire: 'https://elsewhere.example/Questionnaire/a' },
      'questionnaire',
    ],
    [
      'a form that was not sent',
      { questionnaire: 'https://footing.example/fhir/Questionnaire/information-000000000000|1' },
      'questionnaire',
    ],
    ['a child that is not kept here', { subject: { display: 'A child' } }, 'subject'],
    ['an item that no form has', { item: [{ ...TONE, linkId: 'nothing' }] }, 'item[0].linkId'],
  ])('%s: 422 with the place', async (_title, change, at) => {
    const answer = await ofSent(answered(change))

    expect(answer.status, answer.text).toBe(422)
    expect(expressions(answer)[0]).toMatch(`QuestionnaireResponse.${at}`)
  })

  test('a child of others is not found, as one that there is not', async () => {
    const foreign = await ofSent(answered(), other)
    const absent = await ofSent(answered({ subject: { reference: 'Patient/nobody' } }), other)

    expect([foreign.status, absent.status]).toEqual([404, 404])
    expect(foreign.text).toBe(absent.text)
  })
})

describe('of answers that are kept', () => {
  let id: string
  let before: Answer

  beforeAll(async () => {
    before = await ofSent(answered())
    id = keptOnce(await post(partner, TYPE, answered()))
  })

  test('it is what was made of them when they came in, and what was said before they did', async () => {
    const answer = await ofKept(id)

    expect(answer.status, answer.text).toBe(200)
    expect(validateResource(answer.json)).toEqual([])
    const [tone, ...more] = await keptTones()
    expect(more).toEqual([])
    expect(resources(answer)).toEqual([saidIn(tone ?? {})])
    expect(tone?.['derivedFrom']).toEqual([{ reference: `QuestionnaireResponse/${id}` }])
    expect(requestsOf(answer)).toEqual([
      { method: 'POST', url: 'Observation', ifNoneExist: `_id=${String(tone?.['id'])}` },
    ])
    expect(requestsOf(before)).toEqual(requestsOf(answer))
  })

  test('sent to this service the transaction creates nothing again', async () => {
    const stored = await count()

    const again = await post(partner, '/fhir', (await ofKept(id)).json)

    expect(entries(again).map(({ response }) => response?.status)).toEqual(['200 OK'])
    expect(await count()).toBe(stored)
  })

  test('by POST too, but not with other answers beside it', async () => {
    const url = `${TYPE}/${id}/$extract`

    const byPost = await post(partner, url, { resourceType: 'Parameters' })
    const withOther = await post(partner, url, answered())

    expect(resources(byPost)).toEqual(resources(await ofKept(id)))
    expect([withOther.status, ...expressions(withOther)]).toEqual([400, 'Resource'])
  })

  test('of others they are not found; the staff of the clinic ask too', async () => {
    expect((await ofKept(id, other)).status).toBe(404)
    expect((await ofKept('nobody')).status).toBe(404)
    expect((await ofKept(id, staff)).status).toBe(200)
    const { status } = await service.send(undefined, { url: `${TYPE}/${id}/$extract` })
    expect(status).toBe(401)
  })

  test('it needs the scopes of what it reads, and is in the log', async () => {
    const { clinicId } = partner
    const scope = 'system/QuestionnaireResponse.r'
    const reader = await service.who({ clinicId, scope, clientId: 'only-answers' })

    expect((await ofKept(id, reader)).status).toBe(403)
    await ofKept(id)
    const events = await service.send(staff, {
      url: `/fhir/AuditEvent?patient=${patient}&_count=200`,
    })
    expect(events.text).toContain('"code":"extract"')
  })

  test('answers that were taken back are extracted no more', async () => {
    const sent = resource(await service.send(partner, { url: `${TYPE}/${id}` }))
    const body = { ...sent, status: 'entered-in-error' }
    await service.send(partner, { method: 'PUT', url: `${TYPE}/${id}`, body })

    const answer = await ofKept(id)

    expect([answer.status, ...expressions(answer)]).toEqual([422, 'QuestionnaireResponse.status'])
  })
})

test('an intake that was filled in from the record makes only what is new', async () => {
  const url = `/fhir/Questionnaire/referral-intake/$populate?subject=${patient}`
  const filled = populated(await service.send(partner, { url })).response
  const Item = z.looseObject({ linkId: z.string() })
  const groups = z.array(Item.extend({ item: z.array(Item) }))
  const item = groups.parse(filled['item']).map((group) =>
    group.linkId === 'findings'
      ? {
          ...group,
          item: group.item.map((one) => (one.linkId === TONE.linkId ? TONE : one)),
        }
      : group,
  )

  const answer = await ofSent({ ...filled, status: 'completed', authored: '2026-03-02', item })

  expect(resources(answer)).toMatchObject([
    { valueCodeableConcept: { coding: [{ code: 'tone-low' }] } },
  ])
})

test('it has a page, which names the operation that it is', async () => {
  const url = '/fhir/OperationDefinition/QuestionnaireResponse-extract'

  const definition = resource(await service.send(undefined, { url }))
  const page = await service.send(undefined, { url, headers: { accept: 'text/html' } })

  expect(definition).toMatchObject({
    base: 'http://hl7.org/fhir/uv/sdc/OperationDefinition/QuestionnaireResponse-extract',
    resource: ['QuestionnaireResponse'],
    type: true,
    instance: true,
    affectsState: false,
  })
  expect(page.headers['content-type']).toMatch(/^text\/html/)
  expect(page.text).toContain('What answers to a form become')
})
