import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { capabilityStatement } from '../../src/fhir/capability.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { bundleOf, referralParts } from '../helpers/referral.ts'
import { ruleSetLibrary } from '../helpers/rule-sets.ts'
import {
  type Answer,
  BASE,
  keptAs,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'
import { subscription } from '../helpers/subscriptions.ts'

const BASE_OF_DEFINITIONS = 'http://hl7.org/fhir/SearchParameter/'

/** The official search parameters of R4 4.0.1 by type and code (hl7.fhir.r4.core 4.0.1, CC0-1.0). */
const OFFICIAL = z
  .object({
    expressions: z.record(z.string(), z.record(z.string(), z.object({ type: z.string() }))),
  })
  .parse(
    JSON.parse(
      readFileSync(new URL('../cases/r4/search-expressions.json', import.meta.url), 'utf8'),
    ),
  ).expressions

/** Of every resource (resource.html 2.26.6). */
const OF_EVERY_TYPE: Readonly<Record<string, string>> = {
  _id: 'token',
  _lastUpdated: 'date',
  _profile: 'uri',
  _security: 'token',
  _source: 'uri',
  _tag: 'token',
}

const Statement = z.looseObject({
  rest: z.tuple([
    z.looseObject({
      documentation: z.string(),
      interaction: z.array(z.object({ code: z.string() })),
      resource: z.array(
        z.looseObject({
          type: z.string(),
          profile: z.string().optional(),
          referencePolicy: z.array(z.string()).optional(),
          interaction: z.array(z.object({ code: z.string() })),
          searchParam: z.array(
            z.object({ name: z.string(), type: z.string(), definition: z.string() }),
          ),
          operation: z.array(z.object({ name: z.string() })).optional(),
          searchInclude: z.array(z.string()).optional(),
          searchRevInclude: z.array(z.string()).optional(),
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
let first: Answer
const parts = referralParts({ key: 'capability' })

beforeAll(async () => {
  service = await testService()
  ;({ partner: who, staff } = await service.clinic())
  first = await service.refer(who, parts)
  referral = keptAs(first, parts, 'referral')
})
afterAll(() => service.close())

test('the statement is valid R4 and is what /metadata answers', async () => {
  const answer = await service.send(undefined, { url: '/fhir/metadata' })

  expect(validateResource(answer.json)).toEqual([])
  expect(Statement.parse(answer.json).rest[0]).toEqual(rest)
})

const OUR_DEFINITIONS = 'https://footing.example/fhir/SearchParameter/'
const isOurs = ({ definition }: { readonly definition: string }) =>
  definition.startsWith(OUR_DEFINITIONS)

test.each(parameters.filter(isOurs))(
  '$type is searched by $name as our own definition says',
  async ({ type, name, kind, definition }) => {
    const id = definition.slice(OUR_DEFINITIONS.length)
    const answer = await service.send(undefined, { url: `/fhir/SearchParameter/${id}` })

    expect(resource(answer)).toMatchObject({
      code: name,
      type: kind,
      base: [type],
      url: definition,
    })
  },
)

test.each(parameters.filter((one) => !isOurs(one)))(
  '$type is searched by $name as the official definition says',
  ({ type, name, kind, definition }) => {
    expect(definition.startsWith(BASE_OF_DEFINITIONS)).toBe(true)
    expect(kind).toBe(OF_EVERY_TYPE[name] ?? OFFICIAL[type]?.[name]?.type)
  },
)

const VALUES: Readonly<Record<string, string>> = {
  token: 'http://example.org|a',
  reference: 'Patient/a',
  date: '2026-03-02',
  string: 'a',
  uri: 'https://example.org/a',
  quantity: '5|http://unitsofmeasure.org|mm',
  number: '5',
  composite: 'http://example.org|a$5',
}

test.each(parameters)(
  'the declared search of $type by $name is answered',
  async ({ type, name, kind }) => {
    const halves = name.endsWith('date') ? 'http://example.org|a$2026-03-02' : VALUES['composite']
    const value = kind === 'composite' ? halves : VALUES[kind]
    const url = `/fhir/${type}?${name}=${encodeURIComponent(value ?? '')}`

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
  Record<
    string,
    { method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'; path: string; status: number }
  >
> = {
  read: { method: 'GET', path: '/nobody', status: 404 },
  vread: { method: 'GET', path: '/nobody/_history/1', status: 404 },
  'search-type': { method: 'GET', path: '?_count=0', status: 200 },
  'history-instance': { method: 'GET', path: '/nobody/_history', status: 404 },
  'history-type': { method: 'GET', path: '/_history', status: 200 },
  create: { method: 'POST', path: '', status: 400 },
  update: { method: 'PUT', path: '/nobody', status: 400 },
  patch: { method: 'PATCH', path: '/nobody', status: 404 },
  delete: { method: 'DELETE', path: '/nobody', status: 204 },
}

const asked = async (type: string, code: string) => {
  const { method, path, status } = ANSWERS[code] ?? { method: 'GET', path: '', status: 0 }
  const hasBody = method === 'POST' || method === 'PUT' || method === 'PATCH'
  const answer = await service.send(staff, {
    method,
    url: `/fhir/${type}${path}`,
    body: hasBody ? { resourceType: type, unknownElement: true } : undefined,
    headers: method === 'PATCH' ? { 'content-type': 'application/json-patch+json' } : {},
  })
  return { answer, status }
}

test.each(DECLARED)('the declared $code of $type is answered', async ({ type, code }) => {
  const { answer, status } = await asked(type, code)

  expect(answer.status, answer.text).toBe(status)
})

const UNDECLARED = rest.resource.flatMap(({ type, interaction }) =>
  Object.keys(ANSWERS)
    .filter((code) => !interaction.some((one) => one.code === code))
    .map((code) => ({ type, code })),
)

test.each(UNDECLARED)(
  '$code of $type, which is not declared, is refused',
  async ({ type, code }) => {
    const { answer } = await asked(type, code)

    expect([404, 405]).toContain(answer.status)
  },
)

test('a type names the profile that each of its resources keeps, and refuses what keeps only R4 (5.2)', async () => {
  const profiles = Object.fromEntries(
    rest.resource.flatMap(({ type, profile }) => (profile === undefined ? [] : [[type, profile]])),
  )
  const bare = [
    { resourceType: 'Patient' },
    {
      resourceType: 'DeviceUseStatement',
      status: 'active',
      subject: { reference: 'Patient/p-1' },
      device: { display: 'an invented device' },
    },
    {
      resourceType: 'Library',
      status: 'draft',
      type: { text: 'not a rule set' },
    },
    {
      resourceType: 'Subscription',
      status: 'requested',
      reason: 'invented',
      criteria: 'Observation?status=final',
      channel: { type: 'rest-hook', endpoint: 'https://records.example/hook' },
    },
  ]

  expect(Object.keys(profiles).toSorted()).toEqual(
    bare.map(({ resourceType }) => resourceType).toSorted(),
  )
  for (const body of bare) {
    expect(validateResource(body).filter(({ severity }) => severity === 'error')).toEqual([])
    const url = `/fhir/${body.resourceType}`
    const answer = await service.send(staff, { method: 'POST', url, body })
    expect([body.resourceType, answer.status]).toEqual([body.resourceType, 422])
  }
})

test('references to others are taken as they are, logical ones too; those to this server must lead to something', async () => {
  const policies = new Set(
    rest.resource.flatMap(({ referencePolicy }) =>
      referencePolicy === undefined ? [] : [referencePolicy.join(' ')],
    ),
  )
  const sent = async (subject: object) =>
    (
      await service.send(staff, {
        method: 'POST',
        url: '/fhir/Observation',
        body: { resourceType: 'Observation', status: 'final', code: { text: 'seen' }, subject },
      })
    ).status

  expect([...policies]).toEqual(['literal logical enforced'])
  expect([
    await sent({ reference: 'https://elsewhere.example/fhir/Patient/1' }),
    await sent({ identifier: { system: 'urn:x', value: '1' } }),
    await sent({ reference: 'Patient/nowhere' }),
  ]).toEqual([201, 201, 422])
})

test('every declared operation of a type is answered', async () => {
  const declared = rest.resource.flatMap(({ type, operation = [] }) =>
    operation.map(({ name }) => `${type} ${name}`),
  )
  expect(declared.filter((one) => !one.endsWith(' validate'))).toEqual([
    'Patient everything',
    'Patient match',
    'Patient export',
    'Patient chart',
    'Patient disclosures',
    'Patient part-c-access',
    'ServiceRequest triage',
    'ServiceRequest fitting-plan',
    'ServiceRequest follow-up',
    'ServiceRequest chart',
    'ServiceRequest documents',
    'ServiceRequest sign-off',
    'ServiceRequest accept-plan',
    'ServiceRequest decisions',
    'Task next',
    'QuestionnaireResponse extract',
    'DocumentReference docref',
    'Composition document',
    'Group export',
    'Questionnaire populate',
    'Subscription status',
    'Subscription events',
    'AuditEvent unusual-use',
    'AuditEvent unrelated-access',
    'AuditEvent awaiting-review',
    'AuditEvent review',
    'AuditEvent verify',
    'AuditEvent inclusion',
    'Library what-if',
    'PlanDefinition apply',
  ])
  const body = ruleSetLibrary({ version: 'capability.1' })
  const sent = await service.send(staff, { method: 'POST', url: '/fhir/Library', body })
  const group = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Group',
    body: { resourceType: 'Group', type: 'person', actual: true },
  })
  const events = await service.send(staff, { url: '/fhir/AuditEvent?_count=1' })
  const composition = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Composition',
    body: {
      resourceType: 'Composition',
      status: 'final',
      type: { text: 'Invented' },
      date: '2026-03-02',
      author: [{ display: 'An invented author' }],
      title: 'Invented',
    },
  })
  const subscribed = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Subscription',
    body: subscription('https://receiver.example/told'),
  })
  const at: Readonly<Record<string, string>> = {
    'Subscription status': 'Subscription',
    'Subscription events': `Subscription/${String(resource(subscribed)['id'])}`,
    'Patient everything': keptAs(first, parts, 'patient'),
    'Patient match': 'Patient',
    'Composition document': `Composition/${String(resource(composition)['id'])}`,
    'Task next': 'Task',
    'DocumentReference docref': 'DocumentReference',
    'QuestionnaireResponse extract': 'QuestionnaireResponse',
    'Questionnaire populate': 'Questionnaire/referral-intake',
    'PlanDefinition apply': 'PlanDefinition/orthotic-referral',
    'Patient export': 'Patient',
    'Group export': `Group/${String(resource(group)['id'])}`,
    'Library what-if': `Library/${String(resource(sent)['id'])}`,
    'Patient chart': keptAs(first, parts, 'patient'),
    'Patient disclosures': keptAs(first, parts, 'patient'),
    'Patient part-c-access': keptAs(first, parts, 'patient'),
    'AuditEvent inclusion': `AuditEvent/${String(resources(events)[0]?.['id'])}`,
    ...Object.fromEntries(
      ['unusual-use', 'unrelated-access', 'awaiting-review', 'review', 'verify'].map((name) => [
        `AuditEvent ${name}`,
        'AuditEvent',
      ]),
    ),
  }
  const today = [
    { name: 'start', valueDate: '2026-03-02' },
    { name: 'end', valueDate: '2026-03-02' },
    { name: 'result', valueCode: 'no-finding' },
  ]
  const about = (name: string, value: object) => ({
    resourceType: 'Parameters',
    parameter: [{ name, ...value }],
  })
  const bodies: Readonly<Record<string, unknown>> = {
    review: { resourceType: 'Parameters', parameter: today },
    extract: { resourceType: 'QuestionnaireResponse', status: 'completed' },
    docref: about('patient', { valueId: keptAs(first, parts, 'patient').slice('Patient/'.length) }),
    populate: about('subject', { valueReference: { reference: keptAs(first, parts, 'patient') } }),
    apply: about('subject', { valueString: keptAs(first, parts, 'patient') }),
  }
  const queries: Readonly<Record<string, string>> = {
    chart: '?kind=urgency',
    documents: '?kind=reply',
    'sign-off': '?kind=reply&person=Practitioner/unknown',
  }
  for (const one of declared) {
    const [type = '', name = ''] = one.split(' ')
    const place = at[one] ?? (name === 'validate' ? type : referral)
    const url = `/fhir/${place}/$${name}${queries[name] ?? ''}`
    const needed = ['validate', 'match'].includes(name) ? { resourceType: type } : bodies[name]
    const valid = needed === undefined ? {} : { body: needed }
    const answer = await service.send(staff, { method: 'POST', url, ...valid })
    expect(answer.status, url).toBeOneOf([200, 202, 422])
  }
})

test('the declared interactions of the system are answered', async () => {
  expect(rest.interaction.map(({ code }) => code)).toEqual([
    'transaction',
    'batch',
    'history-system',
    'search-system',
  ])
  const again = await service.send(who, { method: 'POST', url: '/fhir', body: bundleOf(parts) })
  const batch = { resourceType: 'Bundle', type: 'batch' }
  expect(again.status).toBe(200)
  expect((await service.send(who, { method: 'POST', url: '/fhir', body: batch })).status).toBe(200)
  expect((await service.send(who, { url: '/fhir/_history' })).status).toBe(200)
  expect((await service.send(who, { url: '/fhir?_lastUpdated=gt2020&_count=1' })).status).toBe(200)
  expect((await service.send(who, { url: '/fhir/$export' })).status).toBe(202)
})

test.each(
  rest.resource.flatMap(({ type, searchInclude = [], searchRevInclude = [] }) => [
    ...searchInclude.map((value) => ({ type, name: '_include', value })),
    ...searchRevInclude.map((value) => ({ type, name: '_revinclude', value })),
  ]),
)('the declared $name of $type by $value is answered', async ({ type, name, value }) => {
  const url = `/fhir/${type}?_id=nobody&${name}=${value}`
  const answer = await service.send(staff, { url, headers: { prefer: 'handling=strict' } })

  expect(answer.status, answer.text).toBe(200)
})

test('no _include is declared by what leads only to types that are not kept (5.2, searchInclude)', () => {
  const kept = new Set(rest.resource.map(({ type }) => type))
  const included = rest.resource.flatMap(({ searchInclude = [] }) => searchInclude)

  expect(kept.has('Endpoint')).toBe(false)
  for (const one of ['Organization:endpoint', 'Location:endpoint', 'PractitionerRole:endpoint'])
    expect(included).not.toContain(one)
  expect(included).toContain('PractitionerRole:organization')
})

// The documentation of the statement says which modifiers there are; R4 has no member for them.
test.each([
  ['Patient?gender:missing=true', 200],
  ['Observation?value-quantity:missing=false', 200],
  ['Observation?code-value-quantity:missing=true', 400],
  ['Patient?family:exact=A', 200],
  ['Patient?family:contains=A', 200],
  ['Patient?family:text=A', 400],
  ['Observation?code:text=a', 200],
  ['Observation?code:not=a', 200],
  ['Observation?code:in=https://footing.example/fhir/ValueSet/findings', 200],
  ['Observation?code:not-in=https://footing.example/fhir/ValueSet/findings', 200],
  ['Observation?code:in=http://elsewhere.example/ValueSet/x', 400],
  ['Patient?identifier:of-type=http://a.example|b|c', 200],
  ['Observation?code:of-type=http://a.example|b|c', 400],
  ['Observation?subject:identifier=http://a.example|b', 200],
  ['Observation?subject:Patient=b', 200],
  ['Observation?subject:above=b', 400],
  ['Observation?subject:below=b', 400],
  ['PlanDefinition?url:below=http://a.example/b', 200],
  ['PlanDefinition?url:above=http://a.example/b', 200],
  ['Observation?code:above=a', 400],
  ['Observation?code:below=http://a.example|a', 400],
  ['Observation?_include=*', 400],
  ['Observation?_include=Observation:*', 400],
] as const)('as documented, %s is answered with %i', async (query, status) => {
  const answer = await service.send(staff, { url: `/fhir/${query}` })

  expect(answer.status, answer.text).toBe(status)
  if (status === 400) expect(answer.text).toContain('"code":"not-supported"')
})

test('the documentation names every modifier of R4, and says which are refused', () => {
  const { documentation } = rest
  const [, modifiers = ''] = documentation.split('\n\n')

  for (const modifier of [
    ':missing',
    ':exact',
    ':contains',
    ':text',
    ':not',
    ':in',
    ':not-in',
    ':of-type',
    ':identifier',
    ':[Type]',
    ':above',
    ':below',
  ])
    expect(` ${modifiers.replaceAll(/[,;.]/g, ' ')} `).toContain(` ${modifier} `)
  expect(modifiers).toContain('refused, 400: also :above and :below of codes')
})

test('what may refer to anything leads to every kept type, as US Core asks of Provenance:target', () => {
  const leading = (type: string) =>
    rest.resource.find((one) => one.type === type)?.searchRevInclude ?? []

  for (const type of ['Patient', 'Observation', 'ServiceRequest'])
    expect(leading(type)).toEqual(
      expect.arrayContaining(['Provenance:target', 'List:item', 'Task:focus']),
    )
})

test('a type that is not declared is not found', async () => {
  expect(rest.resource.map(({ type }) => type)).not.toContain('Medication')
  for (const path of ['Medication', 'Medication/a', 'Medication/a/_history/1'])
    expect((await service.send(who, { url: `/fhir/${path}` })).status).toBe(404)
})
