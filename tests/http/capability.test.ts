import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { capabilityStatement } from '../../src/fhir/capability.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { bundleOf, referralParts } from '../helpers/referral.ts'
import { ruleSetLibrary } from '../helpers/rule-sets.ts'
import {
  BASE,
  keptAs,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

const BASE_OF_DEFINITIONS = 'http://hl7.org/fhir/SearchParameter/'

/**
 * Name and type of each definition, typed from the official search parameters of R4 4.0.1
 * (hl7.fhir.r4.core 4.0.1); those of Coverage from memory of its page.
 */
const OFFICIAL: Readonly<Record<string, readonly [name: string, type: string]>> = {
  'CarePlan-status': ['status', 'token'],
  'Condition-clinical-status': ['clinical-status', 'token'],
  'Condition-recorded-date': ['recorded-date', 'date'],
  'Consent-status': ['status', 'token'],
  'Coverage-identifier': ['identifier', 'token'],
  'Coverage-patient': ['patient', 'reference'],
  'Coverage-status': ['status', 'token'],
  'DeviceDefinition-identifier': ['identifier', 'token'],
  'DeviceDefinition-parent': ['parent', 'reference'],
  'DeviceDefinition-type': ['type', 'token'],
  'Device-identifier': ['identifier', 'token'],
  'Device-patient': ['patient', 'reference'],
  'Device-status': ['status', 'token'],
  'Device-type': ['type', 'token'],
  'DeviceUseStatement-device': ['device', 'reference'],
  'DeviceUseStatement-identifier': ['identifier', 'token'],
  'DeviceRequest-authored-on': ['authored-on', 'date'],
  'DeviceRequest-status': ['status', 'token'],
  'DocumentReference-date': ['date', 'date'],
  'DocumentReference-status': ['status', 'token'],
  'Goal-lifecycle-status': ['lifecycle-status', 'token'],
  'Library-identifier': ['identifier', 'token'],
  'Library-name': ['name', 'string'],
  'Library-status': ['status', 'token'],
  'Library-title': ['title', 'string'],
  'Library-type': ['type', 'token'],
  'Library-version': ['version', 'token'],
  'Observation-category': ['category', 'token'],
  'Observation-derived-from': ['derived-from', 'reference'],
  'Observation-focus': ['focus', 'reference'],
  'Observation-status': ['status', 'token'],
  'Organization-identifier': ['identifier', 'token'],
  'Organization-name': ['name', 'string'],
  'Patient-identifier': ['identifier', 'token'],
  'Practitioner-identifier': ['identifier', 'token'],
  'PractitionerRole-identifier': ['identifier', 'token'],
  'PractitionerRole-organization': ['organization', 'reference'],
  'PractitionerRole-practitioner': ['practitioner', 'reference'],
  'Provenance-entity': ['entity', 'reference'],
  'Provenance-recorded': ['recorded', 'date'],
  'Provenance-target': ['target', 'reference'],
  'Questionnaire-identifier': ['identifier', 'token'],
  'Questionnaire-status': ['status', 'token'],
  'QuestionnaireResponse-authored': ['authored', 'date'],
  'QuestionnaireResponse-identifier': ['identifier', 'token'],
  'QuestionnaireResponse-patient': ['patient', 'reference'],
  'QuestionnaireResponse-status': ['status', 'token'],
  'RelatedPerson-identifier': ['identifier', 'token'],
  'RelatedPerson-patient': ['patient', 'reference'],
  'ServiceRequest-authored': ['authored', 'date'],
  'ServiceRequest-intent': ['intent', 'token'],
  'ServiceRequest-priority': ['priority', 'token'],
  'ServiceRequest-requester': ['requester', 'reference'],
  'ServiceRequest-status': ['status', 'token'],
  'Task-authored-on': ['authored-on', 'date'],
  'Task-business-status': ['business-status', 'token'],
  'Task-code': ['code', 'token'],
  'Task-focus': ['focus', 'reference'],
  'Task-identifier': ['identifier', 'token'],
  'Task-patient': ['patient', 'reference'],
  'Task-priority': ['priority', 'token'],
  'Task-status': ['status', 'token'],
  'clinical-code': ['code', 'token'],
  'clinical-date': ['date', 'date'],
  'clinical-identifier': ['identifier', 'token'],
  'clinical-patient': ['patient', 'reference'],
  'individual-birthdate': ['birthdate', 'date'],
  'individual-family': ['family', 'string'],
  'individual-given': ['given', 'string'],
  'Resource-id': ['_id', 'token'],
  'Resource-lastUpdated': ['_lastUpdated', 'date'],
}

const Statement = z.looseObject({
  rest: z.tuple([
    z.looseObject({
      interaction: z.array(z.object({ code: z.string() })),
      resource: z.array(
        z.looseObject({
          type: z.string(),
          interaction: z.array(z.object({ code: z.string() })),
          searchParam: z.array(
            z.object({ name: z.string(), type: z.string(), definition: z.string() }),
          ),
          operation: z.array(z.object({ name: z.string() })).optional(),
        }),
      ),
    }),
  ]),
})

const software = { name: 'Footing', version: '0.0.0', baseUrl: BASE }
const [rest] = Statement.parse(capabilityStatement(software)).rest
const parameters = rest.resource.flatMap(({ type, searchParam }) =>
  searchParam.map(({ type: kind, ...param }) => ({ type, kind, ...param })),
)

let service: TestService
let who: Who
let staff: Who
let referral: string
const parts = referralParts({ key: 'capability' })

beforeAll(async () => {
  service = await testService()
  ;({ partner: who, staff } = await service.clinic())
  referral = keptAs(await service.refer(who, parts), parts, 'referral')
})
afterAll(() => service.close())

test('the statement is valid R4 and is what /metadata answers', async () => {
  const answer = await service.send(undefined, { url: '/fhir/metadata' })

  expect(validateResource(answer.json)).toEqual([])
  expect(Statement.parse(answer.json).rest[0]).toEqual(rest)
})

test.each(parameters)(
  '$type is searched by $name as the official definition says',
  ({ name, kind, definition }) => {
    expect(definition.startsWith(BASE_OF_DEFINITIONS)).toBe(true)
    expect(OFFICIAL[definition.slice(BASE_OF_DEFINITIONS.length)]).toEqual([name, kind])
  },
)

const VALUES: Readonly<Record<string, string>> = {
  token: 'http://example.org|a',
  reference: 'Patient/a',
  date: '2026-03-02',
  string: 'a',
}

test.each(parameters)(
  'the declared search of $type by $name is answered',
  async ({ type, name, kind }) => {
    const url = `/fhir/${type}?${name}=${encodeURIComponent(VALUES[kind] ?? '')}`

    const answer = await service.send(who, { url, headers: { prefer: 'handling=strict' } })

    expect([answer.status, z.looseObject({ type: z.string() }).parse(answer.json).type]).toEqual([
      200,
      'searchset',
    ])
  },
)

const DECLARED = rest.resource.flatMap(({ type, interaction }) =>
  interaction.map(({ code }) => ({ type, code })),
)

/** What each interaction answers when there is nothing, or nothing valid, to work on. */
const ANSWERS: Readonly<
  Record<string, { method: 'GET' | 'POST' | 'PUT'; path: string; status: number }>
> = {
  read: { method: 'GET', path: '/nobody', status: 404 },
  vread: { method: 'GET', path: '/nobody/_history/1', status: 404 },
  'search-type': { method: 'GET', path: '?_count=0', status: 200 },
  create: { method: 'POST', path: '', status: 400 },
  update: { method: 'PUT', path: '/nobody', status: 400 },
}

test.each(DECLARED)('the declared $code of $type is answered', async ({ type, code }) => {
  const { method, path, status } = ANSWERS[code] ?? { method: 'GET', path: '', status: 0 }
  const body = method !== 'GET' ? { resourceType: type, unknownElement: true } : undefined

  const answer = await service.send(who, { method, url: `/fhir/${type}${path}`, body })

  expect(answer.status).toBe(status)
  expect(answer.text.includes('unknownElement')).toBe(status === 400)
})

test('the declared transaction and operations are answered', async () => {
  expect(rest.interaction).toEqual([{ code: 'transaction' }])
  const again = await service.send(who, { method: 'POST', url: '/fhir', body: bundleOf(parts) })
  expect(again.status).toBe(200)

  const declared = rest.resource.flatMap(({ type, operation = [] }) =>
    operation.map(({ name }) => `${type} ${name}`),
  )
  expect(declared).toEqual([
    'ServiceRequest triage',
    'ServiceRequest fitting-plan',
    'ServiceRequest follow-up',
    'Library what-if',
  ])
  const body = ruleSetLibrary({ version: 'capability.1' })
  const sent = await service.send(staff, { method: 'POST', url: '/fhir/Library', body })
  const library = `Library/${String(resource(sent)['id'])}`
  for (const [type, name] of declared.map((one) => one.split(' '))) {
    const url = `/fhir/${type === 'Library' ? library : referral}/$${name ?? ''}`
    expect((await service.send(staff, { method: 'POST', url })).status, url).not.toBe(404)
  }
})

test('a type that is not declared is not found', async () => {
  expect(rest.resource.map(({ type }) => type)).not.toContain('Medication')
  for (const path of ['Medication', 'Medication/a', 'Medication/a/_history/1'])
    expect((await service.send(who, { url: `/fhir/${path}` })).status).toBe(404)
})
