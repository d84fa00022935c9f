import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { type Json, referralParts } from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  keptAs,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let partner: Who
let referral: string

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  const parts = referralParts({ key: 'language' })
  referral = keptAs(await service.refer(partner, parts), parts, 'referral')
  return service.close
})

const ask = (operation: string, body?: Json) =>
  service.send(partner, {
    method: 'POST',
    url: `/fhir/${referral}/${operation}`,
    ...(body === undefined ? {} : { body }),
  })
const Sentence = z.object({
  text: z.string(),
  extension: z.array(z.object({ url: z.string(), valueString: z.string() })),
})
const Outcome = z.object({
  id: z.string(),
  language: z.string(),
  code: z.object({ coding: z.array(z.object({ code: z.string() })) }),
  note: z.array(Sentence),
})
const outcomeIn = (answer: Answer) =>
  resources(answer)
    .flatMap((one) => (one['resourceType'] === 'Observation' ? [one] : []))
    .map((one) => Outcome.parse(one))
    .find(({ code }) => code.coding[0]?.code === 'orthosis-suitability')

test('every sentence for the therapist stands beside the one for the family', async () => {
  const found = outcomeIn(await ask('$triage'))
  const [first] = found?.note ?? []

  expect(found?.language).toBe('en')
  expect(first?.text).toBe('All criteria are met, no exclusion holds and the child walks alone.')
  expect(first?.extension).toHaveLength(1)
  expect(first?.extension[0]?.url).toMatch(/\/StructureDefinition\/family-sentence$/)
  expect(first?.extension[0]?.valueString).not.toBe(first?.text)
})

test('asked for Spanish, the same is said in Spanish to both, and nothing of it is stored', async () => {
  const english = outcomeIn(await ask('$triage'))
  const spanish = outcomeIn(await ask('$triage?language=es'))

  expect(spanish?.language).toBe('es')
  expect(spanish?.note).toHaveLength(english?.note.length ?? 0)
  expect(spanish?.note[0]?.text).toMatch(/criterios/)
  expect(spanish?.id).not.toBe(english?.id)
  const read = await service.send(partner, { url: `/fhir/Observation/${spanish?.id ?? ''}` })
  expect(read.status).toBe(404)
})

test('the language may come in a Parameters body, and the plan is said in it throughout', async () => {
  const parameter = [{ name: 'language', valueCode: 'es' }]
  const plan = await ask('$fitting-plan', { resourceType: 'Parameters', parameter })
  const said = resources(plan).map((one) => one['language'])

  expect(plan.status).toBe(200)
  expect(new Set(said)).toEqual(new Set(['es']))
  expect(plan.text).toContain('Plan de adaptación')
  expect(plan.text).not.toMatch(/Fitting plan|your child|Your child/)
})

test.each(['fr', 'EN', ''])(
  'a language without a catalogue, "%s", is refused',
  async (language) => {
    const answer = await ask(`$triage?language=${language}`)

    expect(answer.status).toBe(400)
    expect(expressions(answer)).toEqual(['http.language'])
  },
)

const Narrated = z.object({
  code: z.object({ coding: z.array(z.object({ display: z.string() })) }),
  text: z.object({ div: z.string() }),
})

test('no narrative of a finding is headed in another language than it is said', async () => {
  const findings = resources(await ask('$triage?language=es'))
    .filter((one) => one['resourceType'] === 'Observation')
    .map((one) => Narrated.parse(one))

  expect(findings.length).toBeGreaterThan(10)
  for (const { code, text } of findings)
    expect(text.div).not.toContain(code.coding[0]?.display ?? 'a code without display')
})
