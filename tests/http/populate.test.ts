import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { populated } from '../helpers/populated.ts'
import { bundleOf, coded, type Json, referralParts, urn, without } from '../helpers/referral.ts'
import {
  type Answer,
  entries,
  expressions,
  keptAs,
  ORIGIN,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Questionnaire/$populate as Structured Data Capture describes it: OperationDefinition Questionnaire-populate, read in
// input/fsh/operations of the guide's own repository (STU 4). Quoted are the documentations of its parameters.

let service: TestService
let partner: Who
let other: Who
let patient: string
let practitioner: string

const PARTS = referralParts({ key: 'populate' })
const TYPE = '/fhir/Questionnaire/$populate'
const FORM = '/fhir/Questionnaire/referral-intake/$populate'
const CANONICAL = 'https://footing.example/fhir/Questionnaire/referral-intake'

beforeAll(async () => {
  service = await testService()
  ;({ partner, other } = await service.clinic())
  const sent = await service.refer(partner, PARTS)
  patient = keptAs(sent, PARTS, 'patient')
  practitioner = keptAs(sent, PARTS, 'practitioner')
  return service.close
})

const subject = (reference = patient): Json => ({ name: 'subject', valueReference: { reference } })
const local = (valueBoolean: boolean): Json => ({ name: 'local', valueBoolean })
const context = (name: string, content: Json): Json => ({
  name: 'context',
  part: [
    { name: 'name', valueString: name },
    { name: 'content', ...content },
  ],
})
const referring = (name: string, reference: string) =>
  context(name, { valueReference: { reference } })
const post = (parameter: readonly Json[], url = FORM, who: Who = partner) =>
  service.send(who, { method: 'POST', url, body: { resourceType: 'Parameters', parameter } })

interface Item {
  readonly linkId: string
  readonly answer?: unknown
  readonly item?: Item[] | undefined
}
const Item: z.ZodType<Item> = z.lazy(() =>
  z.looseObject({
    linkId: z.string(),
    answer: z.unknown().optional(),
    item: z.array(Item).optional(),
  }),
)
const flat = (items: readonly Item[]): Item[] =>
  items.flatMap((item) => [item, ...flat(item.item ?? [])])
const itemsOf = (holder: Json): Item[] => flat(z.array(Item).parse(holder['item']))
const answeredIn = (answer: Answer): string[] =>
  itemsOf(populated(answer).response)
    .filter((item) => item.answer !== undefined)
    .map(({ linkId }) => linkId)
const issuesOf = (answer: Answer): unknown[] =>
  z.array(z.unknown()).parse(populated(answer).issues?.['issue'] ?? [])

describe('the answer', () => {
  test('is the same Parameters by GET and by POST', async () => {
    const byGet = await service.send(partner, { url: `${FORM}?subject=${patient}&local=true` })
    const byPost = await post([subject(), local(true)])

    expect([byGet.status, byPost.status], byPost.text).toEqual([200, 200])
    expect(byGet.text).toBe(byPost.text)
    expect(populated(byPost).issues).toBeUndefined()
  })

  test('"an unanswered set of questions following the group and question structure": each in its group', async () => {
    const form = resource(
      await service.send(partner, { url: '/fhir/Questionnaire/referral-intake' }),
    )
    // What is asked only after another answer stands below that answer, once there is one.
    const asked = flat(z.array(Item).parse(form['item']))
      .filter((item) => !('enableWhen' in item))
      .map(({ linkId }) => linkId)
    const empty = await post([subject(), local(false)])

    expect(itemsOf(populated(empty).response).map(({ linkId }) => linkId)).toEqual(asked)
    expect(answeredIn(empty)).toEqual([])
  })
})

describe('the form', () => {
  test('declares at its root the launch contexts that are used', async () => {
    const form = await service.send(partner, { url: '/fhir/Questionnaire/referral-intake' })
    const system = 'http://hl7.org/fhir/uv/sdc/CodeSystem/launchContext'

    // "The name SHALL correspond to a launchContext or variable declared at the root of the Questionnaire."
    expect(resource(form)['extension']).toMatchObject(
      [
        ['patient', 'Patient'],
        ['user', 'Practitioner'],
      ].map(([code, type]) => ({
        url: 'http://hl7.org/fhir/uv/sdc/StructureDefinition/sdc-questionnaire-launchContext',
        extension: [
          { url: 'name', valueCoding: { system, code } },
          { url: 'type', valueCode: type },
        ],
      })),
    )
  })

  test.each([
    ['its canonical', { name: 'questionnaire', valueUri: CANONICAL }],
    ['its canonical of STU 3', { name: 'canonical', valueUri: CANONICAL }],
    [
      'a reference',
      { name: 'questionnaire', valueReference: { reference: 'Questionnaire/referral-intake' } },
    ],
  ])('of the type it is named by %s', async (_title, named) => {
    const ofType = await post([named, subject()], TYPE)

    expect(ofType.status, ofType.text).toBe(200)
    expect(ofType.text).toBe((await post([subject()])).text)
  })

  test.each<[string, readonly Json[], number]>([
    ['none', [], 400],
    [
      'two ("one and only one")',
      [
        { name: 'questionnaire', valueUri: CANONICAL },
        { name: 'canonical', valueUri: CANONICAL },
      ],
      400,
    ],
    ['another', [{ name: 'questionnaire', valueUri: `${CANONICAL}-other` }], 404],
    ['another version', [{ name: 'questionnaire', valueUri: `${CANONICAL}|0.0.0` }], 404],
    ['an identifier, which it has not', [{ name: 'identifier', valueIdentifier: {} }], 404],
  ])('of the type with %s', async (_title, named, status) => {
    expect((await post([...named, subject()], TYPE)).status).toBe(status)
  })

  test('"If called at the instance level, these parameters will be ignored."', async () => {
    const named = await post([{ name: 'questionnaire', valueUri: 'urn:other' }, subject()])

    expect(named.text).toBe((await post([subject()])).text)
  })
})

describe('local', () => {
  test('true, and without it: all that the caller sees of the record is filled in', async () => {
    expect(answeredIn(await post([subject(), local(true)]))).toContain('walking-alone')
    expect((await post([subject()])).text).toBe((await post([subject(), local(true)])).text)
  })

  test('false: only what the context names', async () => {
    const ofPatient = answeredIn(
      await post([subject(), local(false), referring('patient', patient)]),
    )

    expect(ofPatient).toEqual(['child-name', 'child-birth-date', 'child-gender'])
  })

  test.each([
    ['no boolean', [{ name: 'local', valueString: 'yes' }]],
    ['twice', [local(true), local(false)]],
  ])('%s is 400', async (_title, more) => {
    const answer = await post([subject(), ...more])

    expect([answer.status, expressions(answer)]).toEqual([400, ['http.local']])
  })
})

describe('context', () => {
  test('patient is the subject where none is named, by any reference to it', async () => {
    for (const reference of [patient, `${ORIGIN}/fhir/${patient}`]) {
      const answer = await post([referring('patient', reference)])
      expect(populated(answer).response).toMatchObject({ subject: { reference: patient } })
    }
    expect((await post([subject(`${ORIGIN}/fhir/${patient}`)])).status).toBe(200)
  })

  test('user answers who sends, with the version that says so', async () => {
    const answer = await post([subject(), referring('user', practitioner)])
    const sender = itemsOf(populated(answer).response).find(
      ({ linkId }) => linkId === 'sender-name',
    )
    const plain = await post([subject()])

    expect(JSON.stringify(sender?.answer)).toContain(`"reference":"${practitioner}/_history/1"`)
    expect(answeredIn(plain)).not.toContain('sender-name')
  })

  // "Servers might not support all possible source materials and may ignore materials they do not recognize. (They
  // MAY provide warnings if ignoring submitted resources.)"
  test.each<[string, () => Json]>([
    ['a name that the form does not declare', () => referring('encounter', 'Encounter/1')],
    [
      'a resource instead of a reference',
      () => context('patient', { resource: { resourceType: 'Patient', id: 'x' } }),
    ],
    [
      'a reference to elsewhere',
      () => referring('user', 'https://elsewhere.example/Practitioner/1'),
    ],
    ['a user that is not kept here', () => referring('user', 'Practitioner/nobody')],
  ])('%s is left out, with a warning', async (_title, one) => {
    const answer = await post([subject(), one()])

    expect(answer.status, answer.text).toBe(200)
    expect(issuesOf(answer)).toMatchObject([{ severity: 'warning', code: 'not-supported' }])
    expect(populated(answer).response).toEqual(populated(await post([subject()])).response)
  })

  test('several are read, each by itself', async () => {
    const answer = await post([
      subject(),
      referring('study', 'ResearchStudy/1'),
      referring('user', practitioner),
      referring('patient', patient),
    ])

    expect(answeredIn(answer)).toContain('sender-name')
    expect(issuesOf(answer)).toHaveLength(1)
  })

  test.each<[string, () => readonly Json[], string]>([
    ['without parts', () => [subject(), { name: 'context' }], 'Parameters.parameter[1]'],
    [
      'without content',
      () => [subject(), { name: 'context', part: [{ name: 'name', valueString: 'patient' }] }],
      'Parameters.parameter[1]',
    ],
    [
      'a patient who is another than the subject',
      () => [subject(), referring('patient', 'Patient/other')],
      'Parameters.parameter[1]',
    ],
    [
      'a patient of another type',
      () => [subject(), referring('patient', practitioner)],
      'Parameters.parameter[1]',
    ],
    [
      'two users ("at most 1 resource")',
      () => [subject(), referring('user', practitioner), referring('user', practitioner)],
      'Parameters.parameter[2]',
    ],
    ['neither subject nor patient', () => [local(true)], 'http.subject'],
  ])('%s is 400', async (_title, parameter, at) => {
    const answer = await post(parameter())

    expect([answer.status, expressions(answer)], answer.text).toEqual([400, [at]])
  })

  test('in an address it cannot be said', async () => {
    const answer = await service.send(partner, {
      url: `${FORM}?subject=${patient}&context=patient`,
    })

    expect([answer.status, expressions(answer)]).toEqual([400, ['http.context']])
  })

  test('a child and a user of others are as those that there are not', async () => {
    expect((await post([referring('patient', patient)], FORM, other)).status).toBe(404)
    const { clinicId } = partner
    const scope = 'system/Patient.r system/Observation.r system/Condition.r system/RelatedPerson.r'
    const who = { clinicId, scope: `${scope} system/Consent.r system/Coverage.r` }
    const narrow = await service.who({ ...who, clientId: 'no-practitioners' })

    expect((await post([subject()], FORM, narrow)).status).toBe(200)
    const asked = await post([subject(), referring('user', practitioner)], FORM, narrow)
    expect(asked.status).toBe(403)
  })
})

test('a form that was populated, completed and sent with its referral decides the referral', async () => {
  const parts = without(
    referralParts({ key: 'walk' }),
    'muscle-tone',
    'condition',
    'generalised-laxity',
    'referral',
    'task',
  )
  const record = await service.send(partner, {
    method: 'POST',
    url: '/fhir',
    body: bundleOf(parts),
  })
  expect(record.status, record.text).toBe(200)
  const child = keptAs(record, parts, 'patient')
  const user = keptAs(record, parts, 'practitioner')
  const asked = await post([subject(child), local(true), referring('user', user)])
  const { response } = populated(asked)

  // As the therapist completes it: what is still asked is answered, what was filled in stays.
  const said: Readonly<Record<string, Json>> = {
    purpose: { valueString: 'Falls often; would a supramalleolar orthosis help?' },
    'muscle-tone': {
      valueCoding: { system: 'https://footing.example/fhir/CodeSystem/value', code: 'tone-low' },
    },
  }
  const completed = (items: readonly Item[]): Item[] =>
    items.map((item) => {
      const answer = said[item.linkId]
      if (answer !== undefined) return { ...item, answer: [answer] }
      return item.item === undefined ? item : { ...item, item: completed(item.item) }
    })
  const code = coded('exchange', 'orthotic-referral')
  const about = { reference: child }
  const sent = await service.send(partner, {
    method: 'POST',
    url: '/fhir',
    body: bundleOf(
      new Map([
        [
          'request',
          {
            fullUrl: urn('walk-request'),
            resource: {
              resourceType: 'ServiceRequest',
              status: 'active',
              intent: 'order',
              code,
              subject: about,
              requester: { reference: user },
              authoredOn: '2026-03-02',
              supportingInfo: [{ reference: urn('walk-intake') }],
            },
            request: { method: 'POST', url: 'ServiceRequest' },
          },
        ],
        [
          'task',
          {
            fullUrl: urn('walk-task'),
            resource: {
              resourceType: 'Task',
              status: 'requested',
              intent: 'order',
              code,
              focus: { reference: urn('walk-request') },
              for: about,
              authoredOn: '2026-03-02',
            },
            request: { method: 'POST', url: 'Task' },
          },
        ],
        [
          'intake',
          {
            fullUrl: urn('walk-intake'),
            resource: {
              ...response,
              status: 'completed',
              author: { reference: user },
              item: completed(z.array(Item).parse(response['item'])),
            },
            request: { method: 'POST', url: 'QuestionnaireResponse' },
          },
        ],
      ]),
    ),
  })
  expect(sent.status, sent.text).toBe(200)
  const [request, task, intake] = entries(sent).map(
    (entry) => /\/fhir\/([^/]+\/[^/]+)\//.exec(entry.response?.location ?? '')?.[1] ?? '',
  )
  const find = async (query: string) =>
    resources(await service.send(partner, { url: `/fhir/${query}` }))

  // The tone of the form is what was missing: low tone with all else decides.
  expect(await find(`Observation?subject=${child}&code=muscle-tone`)).toMatchObject([
    {
      valueCodeableConcept: { coding: [{ code: 'tone-low' }] },
      performer: [{ reference: user }],
      derivedFrom: [{ reference: intake }],
    },
  ])
  expect(await find(`Observation?subject=${child}&code=walking-alone`)).toHaveLength(1)
  expect(await find(`Observation?subject=${child}&code=orthosis-suitability`)).toMatchObject([
    { valueCodeableConcept: { coding: [{ code: 'suitable' }] } },
  ])
  expect(await find(`Task?_id=${String(task).split('/')[1]}`)).toMatchObject([
    { status: 'received', focus: { reference: request } },
  ])
})
