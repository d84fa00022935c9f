import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../../src/fhir/validate.ts'
import { multiplyChildren } from '../helpers/many-children.ts'
import { type Json, type Parts, referralParts, without } from '../helpers/referral.ts'
import { type InventedRules, ruleSetLibrary } from '../helpers/rule-sets.ts'
import {
  type Answer,
  expressions,
  keptAs,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService

beforeAll(async () => {
  service = await testService()
  return service.close
})

const SCOPE = 'system/*.crus'

interface Clinic {
  readonly staff: Who
  readonly partner: Who
}
async function newClinic(): Promise<Clinic> {
  const { staff, partner } = await service.clinic()
  return { staff: await service.who({ ...staff, scope: SCOPE }), partner }
}

async function stored({ staff }: Clinic, invented: InventedRules): Promise<string> {
  const body = ruleSetLibrary(invented)
  const answer = await service.send(staff, { method: 'POST', url: '/fhir/Library', body })
  expect(answer.status, answer.text).toBe(201)
  return String(resource(answer)['id'])
}
async function referred({ partner }: Clinic, parts: Parts): Promise<string> {
  return keptAs(await service.refer(partner, parts), parts, 'referral')
}
const ask = (who: Who, id: string, query = ''): Promise<Answer> =>
  service.send(who, { url: `/fhir/Library/${id}/$what-if${query}` })

const Part = z.looseObject({
  name: z.string(),
  valueInteger: z.number().optional(),
  valueString: z.string().optional(),
  valueReference: z.object({ reference: z.string() }).optional(),
  get part() {
    return z.array(Part).optional()
  },
})
type Part = z.infer<typeof Part>
const parameters = (answer: Answer): Part[] => {
  expect(answer.status, answer.text).toBe(200)
  expect(validateResource(answer.json)).toEqual([])
  return z.object({ parameter: z.array(Part) }).parse(answer.json).parameter
}
const countsOf = (answer: Answer): Record<string, number> =>
  Object.fromEntries(
    parameters(answer).flatMap(({ name, valueInteger }) =>
      valueInteger === undefined ? [] : [[name, valueInteger]],
    ),
  )
const partsOf = (answer: Answer, name: string): Part[] =>
  parameters(answer).filter((one) => one.name === name)
const referralOf = ({ part = [] }: Part): string | undefined =>
  part.find(({ name }) => name === 'referral')?.valueReference?.reference

const Coding = z.object({ code: z.string() })
const Finding = z.object({
  resourceType: z.literal('Observation'),
  code: z.object({ coding: z.array(Coding) }),
  valueCodeableConcept: z.object({ coding: z.array(Coding) }).optional(),
  valueQuantity: z.object({ value: z.number() }).optional(),
})

/** Suitability and urgency as a triage says them. */
async function decided(who: Who, referral: string, query: string) {
  const url = `/fhir/${referral}/$triage${query}`
  const found = resources(await service.send(who, { method: 'POST', url })).flatMap((one) => {
    const read = Finding.safeParse(one)
    return read.success ? [read.data] : []
  })
  const of = (code: string) => found.find((one) => one.code.coding[0]?.code === code)
  return {
    suitability: of('orthosis-suitability')?.valueCodeableConcept?.coding[0]?.code,
    urgency: of('referral-urgency')?.valueQuantity?.value,
  }
}

const Changed = z.object({
  suitability: z.tuple([z.string(), z.string()]).optional(),
  urgency: z.tuple([z.number(), z.number()]).optional(),
})
/** What a change says, as [from, to]. */
function said(change: Part | undefined): z.infer<typeof Changed> {
  const Value = z.looseObject({
    valueCoding: Coding.optional(),
    valueQuantity: z.object({ value: z.number() }).optional(),
  })
  const pairs = (change?.part ?? []).flatMap(({ name, part = [] }) => {
    const values = part
      .filter((one) => one.name === 'from' || one.name === 'to')
      .map((one) => {
        const { valueCoding, valueQuantity } = Value.parse(one)
        return valueCoding?.code ?? valueQuantity?.value
      })
    return name === 'suitability' || name === 'urgency' ? [[name, values] as const] : []
  })
  return Changed.parse(Object.fromEntries(pairs))
}

const rowCount = async (): Promise<number> => {
  const rows = await service.sql<{ count: number }>(
    `select count(*)::int as count from resource_versions where type <> 'AuditEvent'`,
  )
  return rows[0]?.count ?? 0
}

test('it says what a triage under either rule set says, of every referral, and stores nothing', async () => {
  const clinic = await newClinic()
  const ages = ['2024-02-01', '2023-05-01', '2022-06-01']
  const referrals: string[] = []
  for (const [index, birthDate] of ages.entries())
    referrals.push(await referred(clinic, referralParts({ key: `same-${index}`, birthDate })))
  const id = await stored(clinic, {
    version: 'same.1',
    values: {
      'age.serviceToMonths': 40,
      'urgency.windowZeroFromMonths': 40,
      'urgency.urgentFrom': 30,
    },
  })
  const before = await rowCount()

  const answer = await ask(clinic.staff, id)

  expect(await rowCount()).toBe(before)
  expect(parameters(answer).slice(0, 2)).toEqual([
    { name: 'inForce', valueString: 'footing-default|2026.1' },
    { name: 'ruleSet', valueString: 'invented-clinic|same.1' },
  ])
  const changes = partsOf(answer, 'change')
  for (const referral of referrals) {
    const [now, then] = [
      await decided(clinic.staff, referral, ''),
      await decided(clinic.staff, referral, '?ruleset=same.1'),
    ]
    expect(said(changes.find((change) => referralOf(change) === referral))).toEqual({
      ...(now.suitability === then.suitability
        ? {}
        : { suitability: [now.suitability, then.suitability] }),
      ...(now.urgency === then.urgency ? {} : { urgency: [now.urgency, then.urgency] }),
    })
  }
  expect(countsOf(answer)).toMatchObject({
    children: 3,
    referrals: 3,
    changed: changes.length,
    notComputedReferrals: 0,
  })
  expect(countsOf(answer)['changedSuitability']).toBe(1)
  expect(countsOf(answer)['changedPriority']).toBeGreaterThan(0)
})

test('a size that would be another is said per foot', async () => {
  const clinic = await newClinic()
  const referral = await referred(clinic, referralParts({ key: 'size' }))
  const id = await stored(clinic, {
    version: 'size.1',
    values: { 'sizing.growthReserveMm': 15 },
  })

  const answer = await ask(clinic.staff, id)

  const [change, ...more] = partsOf(answer, 'change')
  expect([change && referralOf(change), more]).toEqual([referral, []])
  const sizes = change?.part?.filter(({ name }) => name === 'size') ?? []
  expect(sizes.map(({ part = [] }) => part.map(({ name }) => name))).toEqual([
    ['side', 'from', 'to'],
    ['side', 'from', 'to'],
  ])
  expect(countsOf(answer)).toMatchObject({ changed: 1, changedSize: 1, changedSuitability: 0 })
})

test('a rule set with the same numbers changes nothing, the one in force neither', async () => {
  const clinic = await newClinic()
  await referred(clinic, referralParts({ key: 'nothing' }))
  const id = await stored(clinic, { version: 'nothing.1' })

  const answer = await ask(clinic.staff, id)

  expect(partsOf(answer, 'change')).toEqual([])
  expect(countsOf(answer)).toEqual({
    children: 1,
    referrals: 1,
    changed: 0,
    changedSuitability: 0,
    changedPriority: 0,
    changedUrgency: 0,
    changedSize: 0,
    notComputedReferrals: 0,
  })
})

test('a record that cannot be true on the day is named and counted, and stops nothing', async () => {
  const clinic = await newClinic()
  await referred(clinic, referralParts({ key: 'true' }))
  const young = await referred(
    clinic,
    without(
      referralParts({ key: 'false', birthDate: '2026-02-20' }),
      'sitting',
      'standing',
      'hands-and-knees',
      'walking',
    ),
  )
  const id = await stored(clinic, { version: 'day.1' })

  const answer = await ask(clinic.staff, id, '?asOf=2026-02-10')

  const [named, ...more] = partsOf(answer, 'notComputed')
  expect([named && referralOf(named), more]).toEqual([young, []])
  expect(countsOf(answer)).toMatchObject({ referrals: 2, notComputedReferrals: 1 })
})

test('only open referrals of the own clinic count, two of one child as one child', async () => {
  const [clinic, other] = [await newClinic(), await newClinic()]
  const parts = referralParts({ key: 'open' })
  const sent = await service.refer(clinic.partner, parts)
  const again = { ...parts.get('referral')?.resource, identifier: undefined }
  const subject = { reference: keptAs(sent, parts, 'patient') }
  const second = await service.send(clinic.partner, {
    method: 'POST',
    url: '/fhir/ServiceRequest',
    body: {
      ...again,
      subject,
      requester: undefined,
      insurance: undefined,
      supportingInfo: undefined,
    },
  })
  expect(second.status, second.text).toBe(201)
  const ended = await referred(clinic, referralParts({ key: 'ended' }))
  await service.sql(
    `update resources set body = jsonb_set(body::jsonb, '{status}', '"completed"')::text
     where type = 'Task' and body::jsonb -> 'focus' ->> 'reference' = $1`,
    [ended],
  )
  await referred(other, referralParts({ key: 'theirs' }))
  const id = await stored(clinic, { version: 'open.1' })

  expect(countsOf(await ask(clinic.staff, id))).toMatchObject({ children: 1, referrals: 2 })
})

test('a caseload of several batches is compared whole, each referral once', async () => {
  const clinic = await newClinic()
  for (const key of ['many-1', 'many-2', 'many-3']) await referred(clinic, referralParts({ key }))
  await multiplyChildren((text, values) => service.sql(text, values), clinic.staff.clinicId, 150)
  const id = await stored(clinic, {
    version: 'many.1',
    values: { 'urgency.windowZeroFromMonths': 50 },
  })

  const answer = await ask(clinic.staff, id)

  expect(countsOf(answer)).toMatchObject({ children: 453, referrals: 453, changed: 453 })
  expect(new Set(partsOf(answer, 'change').map(referralOf)).size).toBe(453)
})

test('the day may come in a Parameters body; another day is another answer', async () => {
  const clinic = await newClinic()
  await referred(clinic, referralParts({ key: 'day' }))
  const id = await stored(clinic, { version: 'body.1', values: { 'age.serviceToMonths': 30 } })
  const body: Json = {
    resourceType: 'Parameters',
    parameter: [{ name: 'asOf', valueDate: '2026-09-01' }],
  }
  const url = `/fhir/Library/${id}/$what-if`

  const today = await ask(clinic.staff, id)
  const inBody = await service.send(clinic.staff, { method: 'POST', url, body })
  const bad = await ask(clinic.staff, id, '?asOf=2026-13-01')

  expect(inBody.text).toBe((await ask(clinic.staff, id, '?asOf=2026-09-01')).text)
  expect(countsOf(today)['changedSuitability']).toBe(0)
  expect(countsOf(inBody)['changedSuitability']).toBe(1)
  expect([bad.status, expressions(bad)]).toEqual([400, ['http.asOf']])
})

test('to a partner and another clinic the rule set is not there', async () => {
  const [clinic, other] = [await newClinic(), await newClinic()]
  const id = await stored(clinic, { version: 'hidden.1' })

  for (const who of [clinic.partner, other.staff]) {
    const answer = await ask(who, id)
    expect(answer.status).toBe(404)
    expect(answer.text).toBe((await ask(who, 'absent')).text)
  }
  const narrow = await service.who({ ...clinic.staff, scope: 'system/Library.r' })
  expect((await ask(narrow, id)).status).toBe(403)
})
