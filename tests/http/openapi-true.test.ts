import { beforeAll, expect, test } from 'vitest'
import { rowOf } from '../../src/fhir/registry.ts'
import { address, FORM_NAMES, sample } from '../helpers/described-calls.ts'
import { type DescribedService, describedService } from '../helpers/described-service.ts'
import { describedOperations, type DescribedOperation } from '../helpers/description.ts'
import { type Answer, bundle, issues, linkOf } from '../helpers/service.ts'

// The parameters of the description held against the service: each that is described is taken, and one that is not
// described is refused, where an unknown one is refused (R4 3.1.1.3: Prefer: handling=strict).

const operations = describedOperations()
const STRICT = { prefer: 'handling=strict' }

let all: DescribedService

beforeAll(async () => {
  all = await describedService()
  return all.service.close
})

const OBSERVATION = (rowOf('Observation')?.search ?? []).map(({ code }) => code)
const gets = operations.filter(({ method }) => method === 'GET')
const ask = (
  operation: DescribedOperation,
  more?: readonly (readonly [string, string])[],
): Promise<Answer> =>
  all.service.send(operation.isOpen ? undefined : all.staff, {
    url: address(operation, all.there, more),
    headers: STRICT,
  })

/** Of what there is none: none was sent, or the referral is not so far. */
const NOT_THERE = [
  'GET /fhir/ServiceRequest/{id}/$fitting-plan 422',
  'GET /fhir/ServiceRequest/{id}/$follow-up 422',
  'GET /fhir/Composition/{id}/$document 404',
  'GET /fhir/Composition/$document 404',
  'GET /fhir/Patient/{id}/$part-c-access 422',
  'GET /fhir/QuestionnaireResponse/{id}/$extract 404',
  'GET /fhir/Library/{id}/$what-if 404',
  'GET /fhir/Subscription/{id}/$status 404',
  'GET /fhir/Subscription/{id}/$events 404',
]

test('what is asked for with GET is there, but for what was never made', async () => {
  const missing: string[] = []
  for (const operation of gets) {
    const { status } = await ask(operation)
    if (status >= 300) missing.push(`${operation.name} ${status}`)
  }

  expect(missing).toEqual(NOT_THERE)
})

const described = gets.flatMap((operation) =>
  operation.query.map(
    (parameter) => [operation.name, parameter.name, operation, parameter] as const,
  ),
)

test.each(described.filter(([, name]) => name !== '_cursor' && name !== 'identifier'))(
  '%s takes the parameter %s that it describes',
  async (_, _name, operation, parameter) => {
    const without = await ask(operation)
    const asked = await ask(operation, [sample(operation, parameter, all.there)])

    expect(asked.status).toBe(without.status)
    if (asked.status >= 400) expect(asked.json).toEqual(without.json)
  },
)

/** Answered in pages here. */
const PAGED = /searchset|history/

test('the _cursor that is described is that of the link to the next page', async () => {
  const paged = described
    .filter(([, name]) => name === '_cursor')
    .map(([, , operation]) => operation)
  const walked: string[] = []
  for (const operation of paged) {
    const first = await ask(operation, [['_count', '1']])
    expect(bundle(first).type).toMatch(PAGED)
    const next = linkOf(first, 'next')
    if (next === undefined) continue
    walked.push(operation.name)
    const url = next.replace(/^https?:\/\/[^/]+/, '')
    expect(new URLSearchParams(url.split('?')[1]).has('_cursor')).toBe(true)
    expect((await all.service.send(all.staff, { url })).status, operation.name).toBe(200)
  }

  expect(walked.length).toBeGreaterThan(paged.length / 2)
})

/** Where an unknown parameter is refused; a search does so when it is asked to. */
const REFUSES =
  /^GET \/fhir\/(?:$|\{type\}$|Patient\/\{id\}\/\{inner\}$|.*\$(?:everything|docref|apply|populate|extract|export)$)/
/** Names that publications give: what is taken of them is described, and nothing else is taken. */
const PUBLISHED = [
  // R4 3.1.1.1, the parameters of every search.
  '_id',
  '_lastUpdated',
  '_tag',
  '_profile',
  '_security',
  '_text',
  '_content',
  '_list',
  '_has',
  '_type',
  '_query',
  '_filter',
  '_sort',
  '_count',
  '_include',
  '_revinclude',
  '_summary',
  '_total',
  '_elements',
  '_contained',
  '_containedType',
  '_source',
  // R4, Patient/$everything and PlanDefinition/$apply.
  'start',
  'end',
  '_since',
  'subject',
  'encounter',
  'practitioner',
  'organization',
  'userType',
  'userLanguage',
  'userTaskContext',
  'setting',
  'settingContext',
  // Bulk Data Access STU 2, the kick-off request.
  '_outputFormat',
  '_typeFilter',
  'includeAssociatedData',
  'organizeOutputBy',
  'patient',
  // US Core, DocumentReference/$docref.
  'type',
  'on-demand',
  'profile',
  // Structured Data Capture, Questionnaire/$populate.
  'identifier',
  'canonical',
  'questionnaire',
  'questionnaireRef',
  'content',
  'local',
  'launchContext',
]

/** Not for its value, which another one might mend. */
const isUnknown = (answer: Answer): boolean =>
  answer.status === 400 && issues(answer).some(({ code }) => code === 'not-supported')

/** Of $populate: a context has parts and comes in the body; the form is not named again where the address names it. */
const isKnownBeside = ({ path }: DescribedOperation, name: string): boolean =>
  path.endsWith('$populate') &&
  (name === 'context' || (path.includes('{id}') && FORM_NAMES.includes(name)))

test.each(gets.filter(({ name }) => REFUSES.test(name)).map((one) => [one.name, one] as const))(
  '%s refuses every parameter that it does not describe',
  async (_, operation) => {
    const own = new Set(operation.query.map(({ name }) => name))
    const ofType = operation.path === '/fhir/{type}' ? new Set(OBSERVATION) : new Set<string>()
    const all = new Set([...described.map(([, name]) => name), ...PUBLISHED, 'a-name-of-nothing'])
    const others = [...all].filter(
      (name) => !own.has(name) && !ofType.has(name) && !isKnownBeside(operation, name),
    )
    const taken: string[] = []
    for (const name of others) if (!isUnknown(await ask(operation, [[name, 'a']]))) taken.push(name)

    expect(others.length).toBeGreaterThan(20)
    expect(taken).toEqual([])
  },
)
