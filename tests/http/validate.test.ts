import { beforeAll, describe, expect, test } from 'vitest'
import { type OwnExample, ownExamples } from '../helpers/own-examples.ts'
import { coded, type Json, smallReferral } from '../helpers/referral.ts'
import { observationOf } from '../helpers/searches.ts'
import { profileExample } from '../../src/fhir/conformance/profile-examples.ts'
import { PROFILES } from '../../src/fhir/conformance/structure-definitions.ts'
import { softwareName } from '../../src/service.ts'
import {
  type Answer,
  entries,
  issues,
  keptAs,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// The operation $validate of R4 4.0.1 (resource-operation-validate.html).

let service: TestService
let staff: Who
let partner: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  return service.close
})

const post = (url: string, body?: unknown, who = staff): Promise<Answer> =>
  service.send(who, { method: 'POST', url: `/fhir/${url}`, body })
const get = (url: string, who = staff): Promise<Answer> =>
  service.send(who, { url: `/fhir/${url}` })

const parameters = (...parameter: Json[]): Json => ({ resourceType: 'Parameters', parameter })
const mode = (valueCode: string): Json => ({ name: 'mode', valueCode })
const profile = (valueUri: string): Json => ({ name: 'profile', valueUri })
const sent = (value: unknown): Json => ({ name: 'resource', resource: value })

/** Rule and place of each fault. */
const faults = (answer: Answer): string[] => {
  expect(answer.status).toBe(200)
  return issues(answer).map(
    ({ severity, code, details, expression }) =>
      `${severity} ${details.coding?.[0]?.code ?? code} at ${expression?.join() ?? ''}`,
  )
}

const VALID = ['information informational at ']

const patient = (change: Json = {}): Json => ({
  resourceType: 'Patient',
  identifier: [{ system: 'urn:example:invented:patient', value: 'one' }],
  birthDate: '2024-05-17',
  ...change,
})
const exampleOf = (type: string): string =>
  ownExamples().find((example) => example.type === type)?.text ?? ''
const organization = (change: Json = {}): Json => ({
  resourceType: 'Organization',
  name: 'An invented practice',
  ...change,
})

async function created(type: string, body: Json): Promise<string> {
  const answer = await post(type, body)
  expect(answer.status).toBe(201)
  return String(resource(answer).id)
}

describe('every type', () => {
  const at = (example: OwnExample): string => example.text.replace(/^\s*\{/, '{"notAnElement":1,')

  for (const example of ownExamples()) {
    test(`a valid ${example.type} has no fault, alone and in Parameters`, async () => {
      const inside = `{"resourceType":"Parameters","parameter":[{"name":"resource","resource":${example.text}}]}`

      expect(faults(await post(`${example.type}/$validate`, example.text))).toEqual(VALID)
      expect(faults(await post(`${example.type}/$validate`, inside))).toEqual(VALID)
    })

    test(`a ${example.type} with an unknown element is told where`, async () => {
      expect(faults(await post(`${example.type}/$validate`, at(example)))).toEqual([
        `error unknown-element at ${example.type}.notAnElement`,
      ])
    })
  }

  test('a type that is not kept is not found', async () => {
    expect((await post('Medication/$validate', { resourceType: 'Medication' })).status).toBe(404)
    expect((await get('Medication/1/$validate')).status).toBe(404)
  })
})

test('success is one issue in plain words', async () => {
  const answer = await post('Organization/$validate', organization())

  expect(answer.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
  expect(resource(answer)).toEqual({
    resourceType: 'OperationOutcome',
    issue: [
      {
        severity: 'information',
        code: 'informational',
        details: { text: 'No fault was found.' },
      },
    ],
  })
})

test('all faults stand in one outcome, those of our profiles where it is valid R4', async () => {
  const broken = patient({ gender: 'girl', birthDate: '2024-02-30', name: [] })
  const unprofiled = { resourceType: 'Patient', birthDate: '2024' }

  expect(faults(await post('Patient/$validate', broken))).toEqual([
    'error primitive.date at Patient.birthDate',
    'error code at Patient.gender',
    'error empty at Patient.name',
  ])
  expect(faults(await post('Patient/$validate', unprofiled))).toEqual([
    'error patient-identifier at Patient.identifier',
    'error patient-birth-date at Patient.birthDate',
  ])
})

test('no fault repeats what was sent', async () => {
  const told = patient({ gender: 'Muster-gender', birthDate: 'Muster-date', Mustername: 'x' })
  const twice = '{"resourceType":"Patient","name":[{"family":"Muster","family":"Muster"}]}'
  const answers = [
    await post('Patient/$validate', told),
    await post('Patient/$validate', twice),
    await post('Patient/$validate', '{"Max Muster":1,"Max Muster":2}'),
  ]

  for (const { status, text } of answers) {
    expect(status).toBe(200)
    expect(text.replaceAll('Patient.Mustername', '')).not.toMatch(/Muster/)
  }
})

test('a body that cannot be read is answered with its faults', async () => {
  expect(faults(await post('Patient/$validate', '{"resourceType":"Patient",}'))).toEqual([
    'error json.syntax at ',
  ])
  expect(faults(await post('Patient/$validate', '{"active":true,"active":false}'))).toEqual([
    'error json.duplicate at active',
  ])
  expect(
    faults(
      await post(
        'Patient/$validate',
        '{"resourceType":"Patient","name":[{"text":"a","text":"b"}]}',
      ),
    ),
  ).toEqual(['error json.duplicate at Patient.name[0].text'])
  expect(faults(await post('Patient/$validate', '[]'))).toEqual(['error type at Resource'])
  expect(faults(await post('Patient/$validate', '{}'))).toEqual([
    'error resource-type at Resource.resourceType',
  ])
})

test('what else is wrong is told beside a property that is given twice (R4 2.6.2, 3.1.0.1.5)', async () => {
  const broken = `{"resourceType":"Patient","active":true,"active":false,"gender":"none","name":[{}],"contact":[{"gender":"other"}]}`
  const told = [
    'error json.duplicate at Patient.active',
    'error code at Patient.gender',
    'error empty at Patient.name[0]',
  ]

  expect(faults(await post('Patient/$validate', broken))).toEqual(told)
  expect(await post('Patient', broken)).toMatchObject({ status: 400 })
})

test('a resource of another type than the address is a fault', async () => {
  expect(faults(await post('Patient/$validate', organization()))).toEqual([
    'error type-mismatch at Patient.resourceType',
  ])
})

test('a Bundle that holds no resource for the operation is a fault, not a transaction', async () => {
  const answer = await post('Patient/$validate', { resourceType: 'Bundle', type: 'transaction' })

  expect(faults(answer)).toEqual(['error type-mismatch at Patient.resourceType'])
})

test('without a resource nothing can be validated at type level', async () => {
  for (const body of [undefined, parameters(mode('create')), parameters({ name: 'resource' })]) {
    const answer = await post('Patient/$validate', body)

    expect(answer.status).toBe(400)
    expect(issues(answer)[0]?.expression).toEqual(["Parameters.parameter.where(name='resource')"])
  }
})

test('nothing is stored', async () => {
  const name = 'An invented practice that is only validated'
  await post('Organization/$validate', parameters(sent(organization({ name })), mode('create')))

  expect(entries(await get(`Organization?name=${encodeURIComponent(name)}`))).toEqual([])
})

describe('the mode', () => {
  test('create says whether the type is created here', async () => {
    const value = ownExamples().find(({ type }) => type === 'ValueSet')?.text ?? ''
    const asked = `{"resourceType":"Parameters","parameter":[{"name":"mode","valueCode":"create"},{"name":"resource","resource":${value}}]}`

    expect(faults(await post('ValueSet/$validate', asked))).toEqual([
      'error interaction at ValueSet',
    ])
    expect(
      faults(
        await post('Organization/$validate', parameters(mode('create'), sent(organization()))),
      ),
    ).toEqual(VALID)
  })

  test('create and update say which references lead nowhere, as the write itself would', async () => {
    const id = await created('Organization', organization())
    const part = (to: string, change: Json = {}) =>
      organization({ partOf: { reference: `Organization/${to}` }, ...change })
    const told = ['error reference-exists at Organization.partOf.reference']
    const create = 'Organization/$validate?mode=create'
    const update = `Organization/${id}/$validate?mode=update`

    expect(faults(await post(create, part('unknown')))).toEqual(told)
    expect(faults(await post(update, part('unknown', { id })))).toEqual(told)
    expect(faults(await post('Organization/$validate', part('unknown')))).toEqual(VALID)
    expect((await post('Organization', part('unknown'))).status).toBe(422)
    expect(faults(await post(create, part(id)))).toEqual(VALID)
  })

  test('create of a DeviceDefinition alone is told that a chart is sent as a whole', async () => {
    const asked = parameters(mode('create'), sent({ resourceType: 'DeviceDefinition' }))

    expect(faults(await post('DeviceDefinition/$validate', asked))).toEqual([
      'error size-chart-set at DeviceDefinition',
    ])
  })

  test('create is told what is kept already, and what nobody may ask for (R4 resource-operation-validate, mode create)', async () => {
    const ask = (type: string, resource: unknown, of = 'create') =>
      post(`${type}/$validate`, parameters(mode(of), sent(resource)))
    const library: unknown = JSON.parse(exampleOf('Library'))
    const { id: _own, ...subscription } = JSON.parse(exampleOf('Subscription')) as Json
    const device = {
      resourceType: 'DeviceUseStatement',
      status: 'active',
      subject: { display: 'a child' },
      device: { display: 'a device' },
      timingPeriod: { start: '2026-01-02' },
      bodySite: coded('side', 'left-foot'),
    }

    expect(faults(await ask('Library', library))).toEqual(VALID)
    const id = await created('Library', library as Json)
    expect(faults(await ask('Library', library))).toEqual([
      'error rule-set.version at Library.version',
    ])
    expect(faults(await ask('Subscription', { ...subscription, status: 'active' }))).toEqual([
      'error subscription-status at Subscription.status',
    ])
    expect(faults(await ask('DeviceUseStatement', device))).toEqual([
      'error child-reference at DeviceUseStatement.subject.reference',
    ])

    const retired = { ...(library as Json), id, status: 'retired' }
    const step = await post(`Library/${id}/$validate`, parameters(mode('update'), sent(retired)))
    expect(faults(step)).toEqual(['error rule-set.status at Library.status'])
    expect((await get(`Library/${id}/_history`)).json).toMatchObject({ total: 1 })
  })

  test('update needs the id of the address', async () => {
    const id = await created('Organization', organization())
    const ask = (change: Json) =>
      post(`Organization/${id}/$validate`, parameters(mode('update'), sent(organization(change))))

    expect(faults(await ask({ id }))).toEqual(VALID)
    expect(faults(await ask({ id: 'other' }))).toEqual(['error update-id at Organization.id'])
    expect(faults(await ask({}))).toEqual(['error update-id at Organization.id'])
  })

  test('update leaves a resource with its child', async () => {
    const [one, two] = [await created('Patient', patient()), await created('Patient', patient())]
    const of = (child: string): Json => ({
      resourceType: 'Observation',
      status: 'final',
      code: { text: 'An invented look' },
      subject: { reference: `Patient/${child}` },
    })
    const id = await created('Observation', of(one))
    const ask = (child: string) =>
      post(`Observation/${id}/$validate`, parameters(mode('update'), sent({ ...of(child), id })))

    expect(faults(await ask(one))).toEqual(VALID)
    expect(faults(await ask(two))).toEqual(['error child-moved at Observation'])
  })

  test('update with a part of a resource is a fault', async () => {
    const id = await created('Organization', organization())
    const meta = { tag: [{ code: 'SUBSETTED' }] }
    const asked = parameters(mode('update'), sent(organization({ id, meta })))

    expect(faults(await post(`Organization/${id}/$validate`, asked))).toEqual([
      'error subset at Organization.meta.tag',
    ])
  })

  test('create from a part of a resource is a fault, and is refused (R4 3.1.0.2.1, SUBSETTED)', async () => {
    const part = organization({ meta: { tag: [{ code: 'SUBSETTED' }] } })

    expect(
      faults(await post('Organization/$validate', parameters(mode('create'), sent(part)))),
    ).toEqual(['error subset at Organization.meta.tag'])
    expect((await post('Organization', part)).status).toBe(422)
  })

  test('delete says whether something refers to it', async () => {
    const id = await created('Organization', organization())
    const free = await created('Organization', organization())
    await created('Location', {
      resourceType: 'Location',
      name: 'An invented room',
      managingOrganization: { reference: `Organization/${id}` },
    })
    const asked = parameters(mode('delete'))

    expect(faults(await post(`Organization/${id}/$validate`, asked))).toEqual([
      'error delete-referred at Organization',
    ])
    expect(faults(await post(`Organization/${free}/$validate`, asked))).toEqual(VALID)
    expect(faults(await get(`Organization/${free}/$validate?mode=delete`))).toEqual(VALID)
    expect((await get(`Organization/${free}`)).status).toBe(200)
  })

  test('update and delete are asked of one resource, by its id', async () => {
    for (const code of ['update', 'delete']) {
      const answer = await post(
        'Organization/$validate',
        parameters(mode(code), sent(organization())),
      )

      expect(answer.status).toBe(400)
      expect(issues(answer)[0]?.expression).toEqual(["Parameters.parameter.where(name='mode')"])
    }
  })

  test('any other mode, a mode twice or of another type is refused', async () => {
    const asked = [
      parameters(mode('patch'), sent(organization())),
      parameters(mode('create'), mode('create'), sent(organization())),
      parameters({ name: 'mode', valueString: 'create' }, sent(organization())),
      parameters(sent(organization()), sent(organization())),
    ]

    for (const body of asked) expect((await post('Organization/$validate', body)).status).toBe(400)
    const inAddress = await post('Organization/$validate?mode=patch', organization())
    expect(inAddress.status).toBe(400)
    expect(issues(inAddress)[0]).toMatchObject({
      expression: ['http.mode'],
      details: { text: 'mode is one of create, update, delete, profile.' },
    })
  })

  test('profile needs a profile (R4 resource-validation-mode)', async () => {
    const core = profile('http://hl7.org/fhir/StructureDefinition/Organization')
    const inAddress = 'Organization/$validate?mode=profile'
    const without = await post(inAddress, organization())

    expect(without.status).toBe(400)
    expect(issues(without)[0]?.expression).toEqual(["Parameters.parameter.where(name='profile')"])
    expect(faults(await post(inAddress, parameters(core, sent(organization()))))).toEqual(VALID)
  })

  test('what stands in the address is named as a parameter of it', async () => {
    const placesOf = async (query: string) => {
      const answer = await post(`Organization/$validate?${query}`, organization())
      expect(answer.status).toBe(400)
      return issues(answer).flatMap(({ expression }) => expression ?? [])
    }

    expect(await placesOf('mode=update')).toEqual(['http.mode'])
    expect(await placesOf('profile=https://profiles.example/organization')).toEqual([
      'http.profile',
    ])
  })
})

test('the invariants of what is published are looked at too (R4 5.3.5, StructureDefinition constraints)', async () => {
  const definition = {
    resourceType: 'StructureDefinition',
    url: 'http://a.example/StructureDefinition/x',
    name: 'X',
    status: 'draft',
    kind: 'resource',
    abstract: false,
    type: 'Patient',
    baseDefinition: 'http://hl7.org/fhir/StructureDefinition/Patient',
    derivation: 'constraint',
  }
  const elements = [
    { id: 'Patient', path: 'Patient' },
    { id: 'Patient.name', path: 'Patient.name', min: 2, max: '1' },
  ]
  const [root] = elements

  const kept = { ...definition, differential: { element: [root] } }
  const broken = { ...definition, differential: { element: elements } }
  expect(faults(await post('StructureDefinition/$validate', kept))).toEqual(VALID)
  expect(faults(await post('StructureDefinition/$validate', definition))).toEqual([
    'error sdf-6 at StructureDefinition',
  ])
  expect(faults(await post('StructureDefinition/$validate', broken))).toEqual([
    'error eld-2 at StructureDefinition.differential.element[1]',
  ])
})

describe('the published example of a profile', () => {
  for (const { id, type } of PROFILES) {
    const url = `https://footing.example/fhir/StructureDefinition/${id}`
    const example = profileExample(id)

    test(`${id} validates as it stands, and by its profile`, async () => {
      expect(faults(await post(`${type}/$validate`, example))).toEqual(VALID)
      for (const also of [[], [mode('profile')]])
        expect(
          faults(await post(`${type}/$validate`, parameters(...also, profile(url), sent(example)))),
        ).toEqual(VALID)
    })
  }

  test('of a finding is valid, but cannot be sent', async () => {
    const example = profileExample('finding')

    // What it refers to is invented, so that is told too.
    expect(faults(await post('Observation/$validate?mode=create', example))).toContain(
      'error observation-computed at Observation.code',
    )
    expect((await post('Observation', example)).status).toBe(422)
  })
})

describe('the profile', () => {
  test('of a version that is not kept is not known', async () => {
    const named = (version: string) =>
      profile(`https://footing.example/fhir/StructureDefinition/fact|${version}`)
    const version = softwareName().replace('Footing ', '')
    const ask = (text: string) =>
      post('Observation/$validate', parameters(named(text), sent(observationOf())))

    expect((await ask('9.9')).status).toBe(400)
    expect((await ask(version)).status).toBe(200)
  })

  const ours = (id: string) => profile(`https://footing.example/fhir/StructureDefinition/${id}`)

  test('of ours is checked where it is named, also of what is kept as it is without it', async () => {
    const other = {
      resourceType: 'Observation',
      status: 'final',
      code: { coding: [{ system: 'https://codes.example', code: 'other' }] },
    }

    expect(faults(await post('Observation/$validate', parameters(sent(other))))).toEqual(VALID)
    expect(
      faults(await post('Observation/$validate', parameters(ours('fact'), sent(other)))),
    ).toEqual([
      'error observation-code at Observation.code',
      'error observation-subject at Observation.subject.reference',
      'error observation-date at Observation.effective',
    ])
  })

  test('of ours that is one of another type is refused', async () => {
    const asked = parameters(ours('fact'), sent(organization()))

    expect(faults(await post('Organization/$validate', asked))).toEqual([
      'error profile-type at Organization',
    ])
  })

  const CORE = 'http://hl7.org/fhir/StructureDefinition'

  for (const known of [`${CORE}/Organization`, `${CORE}/Organization|4.0.1`, `${CORE}/Resource`])
    test(`${known} is known`, async () => {
      const asked = parameters(profile(known), sent(organization()))
      const inAddress = `Organization/$validate?profile=${encodeURIComponent(known)}`

      expect(faults(await post('Organization/$validate', asked))).toEqual(VALID)
      expect(faults(await post(inAddress, organization()))).toEqual(VALID)
    })

  test('one of another type is a fault', async () => {
    const asked = parameters(profile(`${CORE}/Patient`), sent(organization()))

    expect(faults(await post('Organization/$validate', asked))).toEqual([
      'error profile-type at Organization',
    ])
  })

  for (const unknown of [
    'https://profiles.example/organization',
    `${CORE}/Organization|5.0.0`,
    `${CORE}/Nothing`,
  ])
    test(`${unknown} is not known, so nothing is validated`, async () => {
      const answer = await post(
        'Organization/$validate',
        parameters(profile(unknown), sent(organization())),
      )

      expect(answer.status).toBe(400)
      expect(issues(answer)[0]).toMatchObject({
        code: 'not-found',
        expression: ["Parameters.parameter.where(name='profile')"],
      })
    })
})

describe('a resource that is kept', () => {
  test('is validated by its id, with GET and with POST', async () => {
    const id = await created('Organization', organization())

    expect(faults(await get(`Organization/${id}/$validate`))).toEqual(VALID)
    expect(faults(await post(`Organization/${id}/$validate`))).toEqual(VALID)
    expect(
      (await service.send(staff, { method: 'HEAD', url: `/fhir/Organization/${id}/$validate` }))
        .status,
    ).toBe(200)
  })

  test('that never was is not found, one that was deleted is gone', async () => {
    const id = await created('Organization', organization())
    await service.send(staff, { method: 'DELETE', url: `/fhir/Organization/${id}` })

    expect((await get('Organization/nobody/$validate')).status).toBe(404)
    expect((await get(`Organization/${id}/$validate`)).status).toBe(410)
  })

  test('that was computed here is valid, but is neither updated nor deleted', async () => {
    const parts = smallReferral({ key: 'validated' })
    await service.refer(partner, parts)
    const [risk] = resources(await get('RiskAssessment'))
    const [finding] = await service.sql<{ id: string }>(
      `select id from resources where type = 'Observation' and substr(id, 15, 1) = '8' limit 1`,
    )

    expect(faults(await get(`RiskAssessment/${String(risk?.id)}/$validate`))).toEqual(VALID)
    expect(faults(await get(`Observation/${finding?.id}/$validate`))).toEqual(VALID)
    expect(faults(await get(`Observation/${finding?.id}/$validate?mode=update`))).toEqual([
      'error computed at Observation',
    ])
    expect(faults(await get(`Observation/${finding?.id}/$validate?mode=delete`))).toEqual([
      'error computed at Observation',
    ])
  })
})

describe('who may ask', () => {
  test('a token without create is refused at type level, one without read at a resource', async () => {
    const id = await created('Organization', organization())
    const { clinicId } = staff
    const reader = await service.who({ clinicId, scope: 'system/*.rs', clientId: 'reader' })
    const writer = await service.who({ clinicId, scope: 'system/*.cu', clientId: 'writer' })

    expect((await post('Organization/$validate', organization(), reader)).status).toBe(403)
    expect((await get(`Organization/${id}/$validate`, writer)).status).toBe(403)
    expect(faults(await post('Organization/$validate', organization(), writer))).toEqual(VALID)
    expect(faults(await get(`Organization/${id}/$validate`, reader))).toEqual(VALID)
  })

  test('without a token nobody may', async () => {
    const answer = await service.send(undefined, {
      method: 'POST',
      url: '/fhir/Patient/$validate',
      body: patient(),
    })

    expect(answer.status).toBe(401)
  })

  test('a partner does not learn of what another partner sent', async () => {
    const parts = smallReferral({ key: 'of-one-partner' })
    const answer = await service.refer(partner, parts)
    const place = keptAs(answer, parts, 'patient')

    expect((await get(`${place}/$validate`, other)).status).toBe(404)
    expect((await get(`${place}/$validate?mode=delete`, other)).status).toBe(404)
  })
})
