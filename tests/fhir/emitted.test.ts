import { readdirSync, readFileSync } from 'node:fs'
import { UcumLhcUtils } from '@lhncbc/ucum-lhc'
import { evaluate } from 'fhirpath'
import r4 from 'fhirpath/fhir-context/r4'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { capabilityStatement } from '../../src/fhir/capability.ts'
import {
  EXCHANGE_CODES,
  METHOD_CODES,
  FIT_VERDICT_CODES,
  FOLLOW_UP_CODES,
  FPI_BAND_CODES,
  OUTCOME_CODES,
  SIDE_CODES,
  SYSTEMS,
  UNITS,
  VALUE_CODES,
} from '../../src/fhir/codes.ts'
import { FINDING_CODES } from '../../src/fhir/finding-codes.ts'
import { FIT_CHECK_URL } from '../../src/fhir/fit-check-answers.ts'
import { OBSERVATION_KINDS } from '../../src/fhir/observation-kinds.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { WORKFLOW_CODES } from '../../src/fhir/workflow-codes.ts'
import { coded, quantity } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// What the service writes, checked by rules and libraries that nobody here wrote.

type Json = Record<string, unknown>
const here = (path: string) => new URL(path, import.meta.url)
const read = (path: string): unknown => JSON.parse(readFileSync(here(path), 'utf8'))

/** The published expressions of the official invariants of R4 4.0.1. */
const { invariants } = z
  .object({
    invariants: z.array(z.object({ key: z.string(), on: z.string(), expression: z.string() })),
  })
  .parse(read('../cases/r4/invariants.json'))

const SEEDS = readdirSync(here('../../seeds')).filter(
  (name) => name.endsWith('.json') && name !== 'scenario.json',
)

const TODAY = '2026-06-15'
let service: TestService
/** Every resource and answer, by where it comes from. */
const emitted: { readonly from: string; readonly resource: Json }[] = []

/** A child gets a device, its fit is checked, and it is seen again. */
async function visited(partner: Who, referral: Json | undefined): Promise<Answer> {
  const subject = referral?.['subject']
  const create = async (body: Json) =>
    resource(
      await service.send(partner, {
        method: 'POST',
        url: `/fhir/${String(body['resourceType'])}`,
        body,
      }),
    )
  const type = coded('exchange', 'supramalleolar-orthosis')
  const device = await create({ resourceType: 'Device', type, modelNumber: 'G1', patient: subject })
  await create({
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject,
    device: { reference: `Device/${String(device['id'])}` },
    bodySite: coded('side', 'left-foot'),
    timingPeriod: { start: TODAY },
  })
  await create({
    resourceType: 'QuestionnaireResponse',
    questionnaire: FIT_CHECK_URL,
    status: 'completed',
    authored: TODAY,
    subject,
    item: [{ linkId: 'closure-gap.left', answer: [quantity(25, 'mm')] }],
  })
  const url = `/fhir/ServiceRequest/${String(referral?.['id'])}/$follow-up`
  return service.send(partner, { url })
}

beforeAll(async () => {
  service = await testService()
  service.clock.set(`${TODAY}T09:00:00.000Z`)
  const { partner } = await service.clinic()
  const add = (from: string, answer: Answer) => emitted.push({ from, resource: resource(answer) })
  for (const name of SEEDS) {
    const body = read(`../../seeds/${name}`)
    add(`${name}, transaction`, await service.send(partner, { method: 'POST', url: '/fhir', body }))
  }
  const referrals = await service.send(partner, { url: '/fhir/ServiceRequest?_count=50' })
  add('a search', referrals)
  for (const { id } of resources(referrals)) {
    const url = `/fhir/ServiceRequest/${String(id)}`
    const triage = await service.send(partner, { method: 'POST', url: `${url}/$triage` })
    add('a triage', triage)
    emitted.push(...resources(triage).map((one) => ({ from: 'a triage', resource: one })))
    const plan = await service.send(partner, { url: `${url}/$fitting-plan` })
    add('a plan or its refusal', plan)
    if (plan.status === 200)
      emitted.push(...resources(plan).map((one) => ({ from: 'a plan', resource: one })))
  }
  const visit = await visited(partner, resources(referrals)[0])
  add('a visit in a Bundle', visit)
  emitted.push(...resources(visit).map((one) => ({ from: 'a visit', resource: one })))
  add('a refusal', await service.send(undefined, { url: '/fhir/Patient' }))
  add('not found', await service.send(partner, { url: '/fhir/Patient/nobody' }))
  const broken = { resourceType: 'Patient', gender: 'x', name: [{}] }
  add(
    'many faults',
    await service.send(partner, { method: 'POST', url: '/fhir/Patient', body: broken }),
  )
  emitted.push({
    from: 'metadata',
    resource: { ...capabilityStatement({ name: 'Footing', version: '0', baseUrl: BASE }) },
  })
})
afterAll(() => service.close())

/** What the service itself puts into words. */
const WORDED: ReadonlySet<string> = new Set(['a triage', 'a plan', 'a visit'])

test('there is something of everything', () => {
  const types = new Set(emitted.map(({ resource }) => resource['resourceType']))

  expect(types).toEqual(
    new Set([
      'Bundle',
      'CapabilityStatement',
      'CarePlan',
      'DeviceRequest',
      'Goal',
      'Observation',
      'OperationOutcome',
      'Provenance',
      'Questionnaire',
      'RiskAssessment',
      'ServiceRequest',
      'Task',
    ]),
  )
})

test('every resource is valid R4: structure, narrative, invariants', () => {
  const faults = emitted.flatMap(({ from, resource }) =>
    validateResource(resource).map((fault) => `${from}: ${fault.expression} ${fault.rule}`),
  )

  expect(faults).toEqual([])
})

test('every resource that a person may read has a narrative', () => {
  const silent = emitted.filter(
    ({ from, resource }) =>
      WORDED.has(from) &&
      !['Bundle', 'Task'].includes(String(resource['resourceType'])) &&
      resource['text'] === undefined,
  )

  expect(silent).toEqual([])
})

/** Nodes of a type, or at a path, anywhere in a resource. */
function nodesOf(on: string, resource: Json): unknown[] {
  const [type = ''] = on.split('.')
  const isResource =
    /^(Bundle|Observation|Condition|CarePlan|Goal|RiskAssessment|ServiceRequest|Task|Patient|Organization|Consent|AuditEvent|Parameters|Questionnaire|QuestionnaireResponse|CapabilityStatement)$/
  if (isResource.test(type))
    return resource['resourceType'] === type ? evaluate(resource, on, {}, r4, { async: false }) : []
  const path = on.split('.').slice(1).join('.')
  const found = `descendants().ofType(FHIR.${type})${path === '' ? '' : `.${path}`}`
  return evaluate(resource, found, {}, r4, { async: false })
}

test('invariants of data types are looked for where the types stand', () => {
  const count = (on: string) =>
    emitted.reduce((sum, { resource }) => sum + nodesOf(on, resource).length, 0)

  expect(
    [
      'Quantity',
      'Range',
      'Period',
      'Timing.repeat',
      'Bundle.entry',
      'CarePlan.activity',
      'Questionnaire.item',
      'RiskAssessment.prediction',
    ].filter((on) => count(on) === 0),
  ).toEqual([])
})

test.each(invariants)('$key on $on holds, by its published expression', ({ on, expression }) => {
  const broken = emitted.flatMap(({ from, resource }) =>
    nodesOf(on, resource).flatMap((node) => {
      const standsAlone = !on.includes('.') && node === resource
      const said: unknown[] = evaluate(
        node as Json,
        standsAlone ? expression : { base: on, expression },
        { resource, ucum: SYSTEMS.ucum },
        r4,
        { async: false },
      )
      return said[0] === false ? [from] : []
    }),
  )

  expect(broken).toEqual([])
})

/** Every unit code of UCUM in a value. */
function unitsIn(value: unknown): string[] {
  if (Array.isArray(value)) return value.flatMap(unitsIn)
  if (typeof value !== 'object' || value === null) return []
  const own = Object.entries(value)
  const isUnit = own.some(([name, member]) => name === 'system' && member === SYSTEMS.ucum)
  const code = own.flatMap(([name, member]) =>
    isUnit && name === 'code' && typeof member === 'string' ? [member] : [],
  )
  return [...code, ...own.flatMap(([, member]) => unitsIn(member))]
}

test('the reference library of UCUM knows every unit that is written or taken', () => {
  const ucum = UcumLhcUtils.getInstance()
  const written = emitted.flatMap(({ resource }) => unitsIn(resource))
  const units = new Set([...written, ...Object.values(UNITS).map(({ code }) => code)])

  expect(written.length).toBeGreaterThan(100)
  expect([...units].filter((unit) => ucum.validateUnitString(unit).status !== 'valid')).toEqual([])
})

/** Typed from policy.json of the reference data: LOINC as printed in the HL7 guides it names. */
const LOINC = ['76516-4', '11884-4']
/** Systems of HL7 that are written, and the codes of them; from the R4 code systems. */
const HL7: Readonly<Record<string, readonly string[]>> = {
  [SYSTEMS.observationCategory]: ['exam'],
  [SYSTEMS.dataAbsentReason]: ['unknown', 'not-applicable'],
  [SYSTEMS.provenanceParticipant]: ['assembler'],
  // Typed from the code system of the guide for referrals (BSeR).
  'http://hl7.org/fhir/us/bser/CodeSystem/TaskBusinessStatusCS':
    '2.0 3.0 4.0 5.1.1 5.1.2 5.1.3 5.1.4 5.2 6.0 7.0'.split(' '),
  'http://terminology.hl7.org/CodeSystem/restful-security-service': ['SMART-on-FHIR'],
}

function codingsIn(value: unknown): { system: unknown; code: unknown }[] {
  if (Array.isArray(value)) return value.flatMap(codingsIn)
  if (typeof value !== 'object' || value === null) return []
  const members: Json = { ...value }
  const own =
    typeof members['system'] === 'string' && typeof members['code'] === 'string'
      ? [{ system: members['system'], code: members['code'] }]
      : []
  return [...own, ...Object.values(members).flatMap(codingsIn)]
}

test('a code that the service writes is its own, of UCUM, or a published one', () => {
  const computed = emitted.filter(
    ({ from, resource }) => from !== 'a search' && resource['resourceType'] !== 'Bundle',
  )
  const foreign = computed
    .flatMap(({ resource }) => codingsIn(resource))
    .filter(({ system, code }) => {
      const name = String(system)
      if (name === SYSTEMS.ucum || name.startsWith('https://footing.example/')) return false
      if (name === SYSTEMS.loinc) return !LOINC.includes(String(code))
      return !(HL7[name]?.includes(String(code)) ?? false)
    })
    .map(({ system, code }) => `${String(system)}|${String(code)}`)

  expect([...new Set(foreign)]).toEqual([])
})

/** Codes of rules are the identifiers of the rules themselves. */
const OPEN: ReadonlySet<string> = new Set([SYSTEMS.rule])

test('a code of our own that the service writes stands in our tables, with its display', () => {
  const known = new Map(
    [
      EXCHANGE_CODES,
      METHOD_CODES,
      OUTCOME_CODES,
      FIT_VERDICT_CODES,
      FOLLOW_UP_CODES,
      FPI_BAND_CODES,
      SIDE_CODES,
      VALUE_CODES,
      FINDING_CODES,
      OBSERVATION_KINDS.map((kind) => kind.code),
      WORKFLOW_CODES,
    ]
      .flatMap((table) => Object.values(table))
      .map(({ system, code, display }) => [`${system}|${code}`, display] as const),
  )
  const written = emitted
    .filter(({ from }) => WORDED.has(from))
    .flatMap(({ resource }) => displaysIn(resource))
    .filter(({ system }) => system.startsWith('https://footing.example/') && !OPEN.has(system))
  const wrong = written.filter(
    ({ system, code, display }) => known.get(`${system}|${code}`) !== display,
  )

  expect(written.length).toBeGreaterThan(100)
  expect(wrong).toEqual([])
})

/** The codings that carry a display, as the service writes all of its own. */
function displaysIn(value: unknown): { system: string; code: string; display: string }[] {
  if (Array.isArray(value)) return value.flatMap(displaysIn)
  if (typeof value !== 'object' || value === null) return []
  const { system, code, display }: Json = { ...value }
  const own =
    typeof system === 'string' && typeof code === 'string' && typeof display === 'string'
      ? [{ system, code, display }]
      : []
  return [...own, ...Object.values(value).flatMap(displaysIn)]
}
