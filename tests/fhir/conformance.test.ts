import { describe, expect, test } from 'vitest'
import { publishedPage } from '../../src/fhir/conformance/page.ts'
import { profileExample } from '../../src/fhir/conformance/profile-examples.ts'
import { faultsByProfile, profileOf } from '../../src/fhir/conformance/profile-faults.ts'
import { SENT_PROFILES } from '../../src/fhir/conformance/profiles-sent.ts'
import { profileUrls, publishedDefinitions } from '../../src/fhir/conformance/published.ts'
import { PROFILES } from '../../src/fhir/conformance/structure-definitions.ts'
import { capabilityStatement } from '../../src/fhir/capability.ts'
import { CANONICAL } from '../../src/fhir/codes.ts'
import { elementsOfType } from '../../src/fhir/element-place.ts'
import { OBSERVATION_KINDS } from '../../src/fhir/observation-kinds.ts'
import { profileFaults } from '../../src/fhir/profiles.ts'
import type { Resource } from '../../src/fhir/r4/types.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { civilDate } from '../../src/domain/calendar.ts'
import { type Json, referralParts } from '../helpers/referral.ts'
import { ruleSetLibrary } from '../helpers/rule-sets.ts'
import { brokenInvariants } from '../helpers/structure-definitions.ts'

const DAY = civilDate('2026-03-02')
const ALL = publishedDefinitions('1.2.3')
const named = (one: Resource) => [`${one.resourceType}/${one.id ?? ''}`, one] as const

test.each(ALL.map(named))('%s is valid R4 and has a text', (_name, resource) => {
  expect(validateResource(resource)).toEqual([])
  expect(resource).toHaveProperty('text.status', 'generated')
})

test.each(ALL.filter(({ resourceType }) => resourceType === 'StructureDefinition').map(named))(
  '%s keeps the official invariants of a StructureDefinition',
  (_name, resource) => {
    expect(brokenInvariants(resource)).toEqual([])
  },
)

test('each is called once, by its canonical, and says its version', () => {
  const urls = ALL.map((one) => ('url' in one ? one.url : undefined))

  expect(new Set(urls).size).toBe(ALL.length)
  for (const one of ALL)
    expect(one).toMatchObject({
      url: `${CANONICAL}/${one.resourceType}/${one.id ?? ''}`,
      version: '1.2.3',
      experimental: false,
    })
})

test('every element of a profile is one that R4 has', () => {
  for (const { type, elements } of PROFILES)
    for (const { path } of elements) {
      const [name = ''] = path.split('.')
      expect(
        elementsOfType(type).map((element) => element.name),
        `${type}.${path}`,
      ).toContain(name)
    }
})

test('the facts of the value set are those that rules read', () => {
  const facts = ALL.find(({ id }) => id === 'facts')
  const listed = JSON.stringify(facts)

  for (const { code } of OBSERVATION_KINDS) expect(listed).toContain(JSON.stringify(code.code))
})

const parts = referralParts({ key: 'profile' })
const part = (name: string): Json => parts.get(name)?.resource ?? {}

/** An invented example of each profile that is sent. */
const EXAMPLES: Readonly<Record<string, Json>> = {
  'referred-child': part('patient'),
  'orthotic-referral': part('referral'),
  'referral-task': part('task'),
  fact: part('foot-length.left'),
  'worn-device': {
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject: { reference: 'Patient/invented' },
    device: { reference: 'Device/invented' },
    bodySite: { coding: [{ system: `${CANONICAL}/CodeSystem/side`, code: 'left-foot' }] },
    timingPeriod: { start: '2026-02-01' },
  },
  'rule-set': ruleSetLibrary({ version: 'profile.1' }),
}

/** What takes the content of an element away. */
const BROKEN: Readonly<Record<string, Json>> = {
  'Task focus.reference': { focus: { display: 'somewhere' } },
  'Task for.reference': { for: { display: 'somebody' } },
  'ServiceRequest subject.reference': { subject: { display: 'somebody' } },
  'Observation subject.reference': { subject: { display: 'somebody' } },
  'Observation effective[x]': { effectiveDateTime: undefined },
  'Observation code': {
    code: { coding: [{ system: `${CANONICAL}/CodeSystem/observation`, code: 'none' }] },
  },
  'DeviceUseStatement timing[x]': { timingPeriod: undefined },
  'ServiceRequest status': { status: 'on-hold' },
  'ServiceRequest intent': { intent: 'option' },
  'Task status': { status: 'ready' },
  'Library type': { type: { text: 'something else' } },
}

describe.each(SENT_PROFILES)('$id', ({ id, type, elements }) => {
  const faultsOf = (resource: Json) => profileFaults(resource as unknown as Resource, type, DAY)

  test('its example is valid and taken', () => {
    expect(EXAMPLES[id]).toHaveProperty('resourceType', type)
    expect(validateResource(EXAMPLES[id])).toEqual([])
    expect(faultsOf(EXAMPLES[id] ?? {})).toEqual([])
  })

  test.each(elements.filter(({ rule }) => rule !== undefined))(
    '$path: what is not so is refused by the rule that it names',
    ({ path, rule }) => {
      const change = BROKEN[`${type} ${path}`] ?? { [path]: undefined }
      const faults = faultsOf({ ...EXAMPLES[id], ...change })

      expect(faults.map((fault) => fault.rule)).toContain(rule)
    },
  )
})

describe.each(PROFILES)('the page of the profile $id', ({ id, type }) => {
  const example = profileExample(id)

  test('shows an example that is valid, of its type and by the profile, and marked as invented', () => {
    const definition = ALL.find((one) => one.id === id && one.resourceType !== 'ValueSet')
    const page = definition === undefined ? '' : publishedPage(definition, '/fhir/x')
    const profile = profileOf(`${CANONICAL}/StructureDefinition/${id}|1.2.3`)

    expect(example).toHaveProperty('resourceType', type)
    expect(validateResource(example)).toEqual([])
    expect(profile && example && faultsByProfile(profile, example)).toEqual([])
    expect(page).toContain(`&quot;resourceType&quot;: &quot;${type}&quot;`)
    expect(page).toContain('all of it invented')
  })
})

const EXTENSIONS = ALL.flatMap((one) =>
  one.resourceType === 'StructureDefinition' && one.type === 'Extension' ? [one] : [],
)

test.each(EXTENSIONS)(
  'the page of the extension $id shows a valid resource that has it (R4 2.5.0, 5.3.1)',
  (definition) => {
    const { id = '', url, differential, context } = definition
    const example = profileExample(id)
    const json = JSON.stringify(example)
    const value = differential?.element.at(-1)?.type?.[0]?.code ?? ''
    const type = `value${value.slice(0, 1).toUpperCase()}${value.slice(1)}`

    expect(example && validateResource(example)).toEqual([])
    expect(json).toContain(`"url":"${url}","${type}":`)
    expect(
      context?.some(({ expression }) => expression.split('.')[0] === example?.resourceType),
    ).toBe(true)
    expect(publishedPage(definition, '/fhir/x')).toContain(`&quot;url&quot;: &quot;${url}&quot;`)
  },
)

test('there are extensions', () => expect(EXTENSIONS.length).toBeGreaterThan(0))

test('an operation that is a narrower one of another is named by its own definition (R4 CapabilityStatement.rest.resource.operation.definition)', () => {
  const { rest } = capabilityStatement({ name: 'x', version: '1', baseUrl: 'https://x.example' })
  const named = rest?.[0]?.resource?.flatMap(({ operation }) => operation ?? []) ?? []

  const based = ALL.flatMap((one) =>
    one.resourceType === 'OperationDefinition' && one.base !== undefined ? [one] : [],
  )
  expect(based.length).toBeGreaterThan(0)
  for (const { code, url } of based)
    expect(named.find(({ name }) => name === code)?.definition).toBe(url)
})

test.each(SENT_PROFILES)('the example of $id is taken as it stands', ({ id, type }) => {
  const example = profileExample(id)

  expect(example && profileFaults(example, type, DAY)).toEqual([])
})

describe('a resource that a profile is named for', () => {
  const faultsOf = (id: string, change: Json) => {
    const profile = profileOf(`${CANONICAL}/StructureDefinition/${id}`)
    const changed = JSON.parse(JSON.stringify({ ...profileExample(id), ...change })) as Resource
    return profile === undefined
      ? undefined
      : faultsByProfile(profile, changed).map(({ expression, code }) => [expression, code])
  }
  const other = { coding: [{ system: 'https://codes.example', code: 'other' }] }

  test.each<[string, Json, [string, string][]]>([
    ['fact', { code: other }, [['Observation.code', 'code-invalid']]],
    ['fact', { bodySite: other }, [['Observation.bodySite', 'code-invalid']]],
    ['fact', { bodySite: undefined }, []],
    ['fact', { effectiveDateTime: undefined }, [['Observation.effective', 'required']]],
    [
      'fact',
      { effectiveDateTime: undefined, effectivePeriod: { start: '2026-02-27' } },
      [['Observation.effective', 'required']],
    ],
    ['orthotic-referral', { code: other }, [['ServiceRequest.code', 'code-invalid']]],
    ['referral-task', { for: {} }, [['Task.for.reference', 'required']]],
    ['rule-set', { content: [{}, {}] }, [['Library.content', 'value']]],
    ['finding', { status: 'preliminary' }, [['Observation.status', 'value']]],
  ])('%s with %j: %j', (id, change, expected) => {
    expect(faultsOf(id, change)).toEqual(expected)
  })
})

test('$validate knows every profile, in the version that is kept', () => {
  expect([...profileUrls('1.2.3')].toSorted()).toEqual(
    PROFILES.flatMap(({ id }) => [
      `${CANONICAL}/StructureDefinition/${id}`,
      `${CANONICAL}/StructureDefinition/${id}|1.2.3`,
    ]).toSorted(),
  )
})

describe('the page of a resource', () => {
  const statement = capabilityStatement({ name: 'Footing', version: '1', baseUrl: CANONICAL })

  test.each([...ALL, statement].map(named))(
    '%s: says its title, runs nothing',
    (_name, resource) => {
      const page = publishedPage(resource, '/fhir/x')

      const title = 'title' in resource ? resource.title : undefined
      const name = 'name' in resource && typeof resource.name === 'string' ? resource.name : ''
      expect(page).toContain(title ?? (name || 'missing'))
      expect(page).not.toMatch(/<script|javascript:|\son\w+=/i)
    },
  )

  test('escapes what it is told', () => {
    const hostile = { ...statement, title: '<b>&"' }

    expect(publishedPage(hostile, '"><script>')).not.toMatch(/<b>&"|"><script>/)
  })
})
