import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../../src/fhir/validate.ts'
import {
  bundleOf,
  changed,
  type Json,
  observed,
  type Parts,
  smallReferral,
  withPart,
} from '../helpers/referral.ts'
import {
  expressions,
  keptAs,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

const Coded = z.object({
  coding: z.array(z.object({ code: z.string() })).optional(),
  text: z.string().optional(),
})
const Found = z.object({
  code: Coded,
  valueCodeableConcept: Coded.optional(),
  note: z.array(z.object({ text: z.string() })).optional(),
  derivedFrom: z.array(z.object({ reference: z.string() })).optional(),
  component: z
    .array(
      z.object({
        code: Coded,
        valueDateTime: z.string().optional(),
        valueCodeableConcept: Coded.optional(),
        dataAbsentReason: Coded.optional(),
      }),
    )
    .optional(),
})

async function lawOf(key: string, change: (parts: Parts) => Parts) {
  const parts = change(smallReferral({ key, birthDate: '2024-02-01' }))
  const sent = await service.refer(partner, parts)
  const url = `/fhir/${keptAs(sent, parts, 'referral')}/$triage`
  const answer = await service.send(partner, { method: 'POST', url })
  const found = resources(answer).flatMap((one) =>
    one['resourceType'] === 'Observation' ? [Found.parse(one)] : [],
  )
  // Valid R4: structure, narrative, invariants.
  expect(resources(answer).flatMap((one) => validateResource(one))).toEqual([])
  const of = (code: string) => found.find((one) => one.code.coding?.[0]?.code === code)
  return { dates: of('early-intervention-dates'), threshold: of('state-threshold'), answer, found }
}
type Component = NonNullable<z.infer<typeof Found>['component']>[number]
const component = (found: z.infer<typeof Found> | undefined, code: string): Component | undefined =>
  found?.component?.find((one) => one.code.coding?.[0]?.code === code)

const inState = (state: string) => (parts: Parts) =>
  changed(parts, 'patient', { address: [{ use: 'home', state, country: 'US' }] })
const dated =
  (code: string, on: string, value: Json = { valueDateTime: on }) =>
  (parts: Parts) =>
    withPart(parts, code, observed(code, '2026-03-01', value))

test('a child without a state and without a date of the programme gets neither', async () => {
  const { dates, threshold } = await lawOf('law-none', (parts) => parts)

  expect([dates, threshold]).toEqual([undefined, undefined])
})

test('the dates stand in components, for information, from the observations they come from', async () => {
  const { dates } = await lawOf('law-dates', (parts) =>
    dated(
      'early-intervention-received-on',
      '2026-02-02',
    )(dated('early-intervention-referred-on', '2026-02-02')(parts)),
  )

  // 34 CFR 303.310(a): 45 calendar days; 303.209: 90 days before 2027-02-01.
  expect(component(dates, 'part-c.evaluation-due')?.valueDateTime).toBe('2026-03-19')
  expect(component(dates, 'part-c.transition-due')?.valueDateTime).toBe('2026-11-03')
  expect(component(dates, 'part-c.third-birthday')?.valueDateTime).toBe('2027-02-01')
  expect(component(dates, 'part-c.plan-review')?.dataAbsentReason?.coding?.[0]?.code).toBe(
    'unknown',
  )
  expect(component(dates, 'part-c.late-referral')?.valueCodeableConcept?.coding?.[0]?.code).toBe(
    'referral-standard',
  )
  expect(component(dates, 'part-c.evaluation-due')?.code.text).toMatch(/^For information: /)
  expect(dates?.note?.[0]?.text).toMatch(/^For information: these dates belong to the early/)
  expect(dates?.derivedFrom).toHaveLength(2)
})

test('a deadline on a weekend has the day to work towards beside it', async () => {
  const { dates } = await lawOf(
    'law-weekend',
    dated('early-intervention-received-on', '2026-01-14'),
  )

  // 2026-02-28 is a Saturday.
  expect(component(dates, 'part-c.evaluation-due')?.valueDateTime).toBe('2026-02-28')
  expect(component(dates, 'part-c.evaluation-due.work-towards')?.valueDateTime).toBe('2026-02-27')
})

test.each([
  [24.9, 'no', 'does not reach the published number'],
  [25, 'yes', 'reaches the published number'],
])('Iowa publishes 25 %%: a delay of %d %% %s', async (value, code, words) => {
  const { threshold, answer } = await lawOf(`law-iowa-${code}`, (parts) =>
    dated('standardised-gross-motor-result', '2026-03-01', {
      component: [
        {
          code: {
            coding: [
              {
                system: 'https://footing.example/fhir/CodeSystem/observation',
                code: 'percent-delay',
              },
            ],
          },
          valueQuantity: { value, unit: '%', system: 'http://unitsofmeasure.org', code: '%' },
        },
      ],
    })(inState('IA')(parts)),
  )

  expect(threshold?.valueCodeableConcept).toMatchObject({ coding: [{ code }], text: words })
  expect(component(threshold, 'state-criterion.percent-delay')).toMatchObject({
    code: { text: '25 % delay in one domain' },
    valueCodeableConcept: { text: words },
  })
  expect(threshold?.note?.[0]?.text).toMatch(/^For information: .* The law has other routes/)
  const law = resources(answer).filter((one) => JSON.stringify(one).includes('state-threshold'))
  expect(JSON.stringify(law.filter((one) => one['resourceType'] === 'Observation'))).not.toMatch(
    /eligib/i,
  )
})

test('a state without a number on record says so', async () => {
  const { threshold } = await lawOf('law-oregon', inState('OR'))

  expect(threshold?.valueCodeableConcept?.coding?.[0]?.code).toBe('unknown')
  expect(threshold?.note?.[0]?.text).toContain('no published number is on record')
})

test('a date of the programme that is no day is refused with its element', async () => {
  const parts = dated('early-intervention-plan-on', '2026-02', { valueDateTime: '2026-02' })(
    smallReferral({ key: 'law-month' }),
  )
  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir',
    body: bundleOf(parts),
  })

  expect(answer.status).toBe(422)
  expect(expressions(answer)).toEqual(['Bundle.entry[5].resource.valueDateTime'])
})

test('a date that comes later is computed anew; the same again stores nothing twice', async () => {
  const parts = inState('IA')(smallReferral({ key: 'law-later' }))
  const sent = await service.refer(partner, parts)
  const patient = keptAs(sent, parts, 'patient')
  const count = async () => {
    const [row] = await service.sql<{ count: number }>(
      `select count(*)::int as count from resources where type = 'Observation' and code = 'early-intervention-dates'`,
    )
    return row?.count ?? 0
  }
  const before = await count()
  const plan = {
    ...observed('early-intervention-plan-on', '2026-03-01', { valueDateTime: '2026-02-01' }),
    subject: { reference: patient },
  }

  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Observation',
    body: plan,
  })
  expect(answer.status).toBe(201)
  expect(await count()).toBe(before + 1)
  await service.send(partner, {
    method: 'POST',
    url: `/fhir/${keptAs(sent, parts, 'referral')}/$triage`,
  })
  expect(await count()).toBe(before + 1)
})
