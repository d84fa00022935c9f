import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../src/fhir/validate.ts'
import {
  type Answer,
  resources,
  testService,
  type TestService,
  type Who,
} from './helpers/service.ts'

const seed = (file: string): unknown =>
  JSON.parse(readFileSync(new URL(`../seeds/${file}`, import.meta.url), 'utf8'))

const Scenario = z.object({
  referenceDay: z.string(),
  children: z.array(
    z.object({
      file: z.string(),
      outcome: z.string(),
      priority: z.string(),
      recheckOn: z.string().optional(),
      deciding: z.record(z.string(), z.string()),
      missing: z.array(z.string()),
      sizes: z.record(z.string(), z.string()),
    }),
  ),
})
const { referenceDay, children } = Scenario.parse(seed('scenario.json'))

const Bundle = z.object({
  resourceType: z.literal('Bundle'),
  type: z.literal('transaction'),
  entry: z.array(
    z.object({
      fullUrl: z.string().regex(/^urn:uuid:/),
      request: z.object({ method: z.string(), url: z.string(), ifNoneExist: z.string() }),
      resource: z.looseObject({ resourceType: z.string() }),
    }),
  ),
})
type Bundle = z.output<typeof Bundle>

const Concept = z.object({ coding: z.array(z.object({ code: z.string() })).default([]) })
const Observation = z.object({
  code: Concept,
  bodySite: Concept.optional(),
  valueCodeableConcept: Concept.optional(),
  valueString: z.string().optional(),
  component: z
    .array(
      z.object({
        code: Concept,
        valueCodeableConcept: Concept.optional(),
        valueDateTime: z.string().optional(),
      }),
    )
    .default([]),
})
const codesOf = (concept: z.output<typeof Concept> | undefined) =>
  (concept?.coding ?? []).map(({ code }) => code)

let served: TestService
let partner: Who
beforeAll(async () => {
  served = await testService()
  served.clock.set(`${referenceDay}T12:00:00.000Z`)
  partner = (await served.clinic()).partner
})
afterAll(() => served.close())

const send = async (bundle: unknown): Promise<Answer> => {
  const answer = await served.send(partner, { method: 'POST', url: '/fhir', body: bundle })
  if (answer.status !== 200) throw new Error(answer.text)
  return answer
}

const idOf = (answer: Answer, type: string): string =>
  new RegExp(`/${type}/([^/]+)/_history/`).exec(answer.text)?.[1] ?? 'none'

async function read(answer: Answer) {
  const patient = `patient=Patient/${idOf(answer, 'Patient')}`
  const found = await served.send(partner, { url: `/fhir/Observation?${patient}&_count=200` })
  const observations = resources(found).map((one) => Observation.parse(one))
  const task = await served.send(partner, { url: `/fhir/Task/${idOf(answer, 'Task')}` })
  const suitability = observations.find(({ code }) =>
    codesOf(code).includes('orthosis-suitability'),
  )
  return { observations, suitability, task: z.looseObject({}).parse(task.json) }
}

/** Of all but AuditEvents, which the service makes of its log when it has time. */
const countOf = (): Promise<unknown> =>
  served.sql(
    `select 'current' as state, type, count(*)::int as n from resources
       where type <> 'AuditEvent' group by 2
     union all select 'version', type, count(*)::int from resource_versions
       where type <> 'AuditEvent' group by 2 order by 1, 2`,
  )

for (const child of children) {
  test(`${child.file} has the outcome, reasons, sizes and missing facts that are expected`, async () => {
    const { observations, suitability, task } = await read(await send(seed(child.file)))

    expect(codesOf(suitability?.valueCodeableConcept)).toEqual([child.outcome])
    expect(task).toMatchObject({ status: 'received', priority: child.priority })
    const rules = Object.fromEntries(
      (suitability?.component ?? []).map(
        ({ code, valueCodeableConcept }): [string, string | undefined] => [
          codesOf(code)[0] ?? '',
          codesOf(valueCodeableConcept)[0],
        ],
      ),
    )
    expect(rules).toMatchObject(child.deciding)
    const parts = suitability?.component ?? []
    const missing = parts
      .filter(({ code }) => codesOf(code).includes('missing-observation'))
      .map(({ valueCodeableConcept }) => codesOf(valueCodeableConcept).join(' '))
    expect(missing.toSorted()).toEqual(child.missing)
    const recheck = parts.find(({ code }) => codesOf(code).includes('recheck-date'))
    expect(recheck?.valueDateTime).toBe(child.recheckOn)
    const sizes = Object.fromEntries(
      observations
        .filter(({ code }) => codesOf(code).includes('device-size'))
        .map((one): [string, string | undefined] => [
          (codesOf(one.bodySite)[0] ?? '').replace('-foot', ''),
          one.valueString?.split(' ')[0],
        ]),
    )
    expect(sizes).toEqual(child.sizes)
  })

  test(`${child.file} sent again doubles nothing`, async () => {
    await send(seed(child.file))
    const before = await countOf()
    const again = await send(seed(child.file))

    expect(again.text).not.toContain('201 Created')
    expect(await countOf()).toEqual(before)
  })

  test(`${child.file} is a valid transaction in which every entry can be found again`, () => {
    const bundle = Bundle.parse(seed(child.file))

    expect(validateResource(bundle)).toEqual([])
    for (const { request, resource } of bundle.entry) {
      const { identifier } = z.object({ identifier: z.unknown() }).parse(resource)
      const [first] = z
        .array(
          z.object({
            system: z.string().startsWith('https://partner.example/'),
            value: z.string(),
          }),
        )
        .parse(Array.isArray(identifier) ? identifier : [identifier])
      expect(request.ifNoneExist).toBe(`identifier=${first?.system}|${first?.value}`)
    }
    const types = new Set(bundle.entry.map(({ resource }) => resource.resourceType))
    expect([...types]).toEqual(
      expect.arrayContaining([
        'Patient',
        'RelatedPerson',
        'Practitioner',
        'PractitionerRole',
        'Organization',
        'ServiceRequest',
        'Task',
        'Condition',
        'Observation',
        'Coverage',
        'Consent',
      ]),
    )
    expect(types.has('QuestionnaireResponse') || types.has('DocumentReference')).toBe(true)
  })
}

test('the preterm twin is undetermined were the gestation not recorded, and gestation is asked for', async () => {
  const twin = Bundle.parse(seed('preterm-twin.json'))
  const isGestation = ({ resource }: Bundle['entry'][number]) =>
    JSON.stringify(resource).includes('"76516-4"')
  expect(twin.entry.filter(isGestation)).toHaveLength(1)
  const text = JSON.stringify({ ...twin, entry: twin.entry.filter((one) => !isGestation(one)) })
  // Another child in the eyes of the service, so that nothing of the first is found.
  const { suitability } = await read(await send(text.replaceAll('preterm-twin', 'other-twin')))

  expect(codesOf(suitability?.valueCodeableConcept)).toEqual(['undetermined'])
  const concern = suitability?.component.find(({ code }) =>
    codesOf(code).includes('functional-concern'),
  )
  expect(codesOf(concern?.valueCodeableConcept)).toEqual(['unknown'])
  expect(JSON.stringify(suitability?.component)).toContain('"76516-4"')
})

test('everything that is stored of the six children is valid R4', async () => {
  for (const { file } of children) await send(seed(file))
  const stored = await served.sql<{ body: string }>('select body::text as body from resources')

  expect(stored.length).toBeGreaterThan(400)
  expect(stored.flatMap(({ body }) => validateResource(JSON.parse(body)))).toEqual([])
})
