import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { coded, type Json, referralParts, smallReferral } from '../helpers/referral.ts'
import { keptAs, resources, type TestService, testService, type Who } from '../helpers/service.ts'

// R4 2.5.0: an extension has a published definition, and stands only where that says (StructureDefinition.context).

const OWN = 'https://footing.example/fhir/StructureDefinition/'

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  return service.close
})

const Definition = z.object({
  url: z.string(),
  context: z.array(z.object({ type: z.literal('element'), expression: z.string() })),
  differential: z.object({
    element: z.array(
      z.object({ id: z.string(), type: z.array(z.object({ code: z.string() })).optional() }),
    ),
  }),
})
const Extended = z.object({ extension: z.array(z.looseObject({ url: z.string() })).optional() })

/** Every extension of ours in some content, with its place and the type of its value. */
function placed(content: unknown, place: string): string[] {
  if (Array.isArray(content)) return content.flatMap((one) => placed(one, place))
  if (typeof content !== 'object' || content === null) return []
  const { data } = Extended.safeParse(content)
  const here = (data?.extension ?? [])
    .filter(({ url }) => url.startsWith(OWN))
    .map((one) => {
      const value = Object.keys(one).find((name) => name.startsWith('value')) ?? 'value'
      return `${one.url} on ${place} with ${value.slice('value'.length)}`
    })
  const below = Object.entries(content).flatMap(([name, inner]) =>
    // Items below items are the same element.
    name === 'extension' || (name === 'item' && place === 'Questionnaire.item')
      ? placed(name === 'item' ? inner : [], place)
      : placed(inner, `${place}.${name}`),
  )
  return [...here, ...below]
}

/** What is computed, asked for, planned and told of a child who is fitted and of one of whom much is missing. */
async function everythingMade(): Promise<readonly Json[]> {
  const { staff: member, partner } = await service.clinic()
  staff = member
  const whole = referralParts({ key: 'whole' })
  const small = smallReferral({ key: 'small' })
  const sent = [await service.refer(partner, whole), await service.refer(partner, small)] as const
  const plan = `/fhir/${keptAs(sent[0], whole, 'referral')}/$accept-plan`
  expect((await service.send(staff, { method: 'POST', url: plan })).status).toBe(200)
  const sign = {
    resourceType: 'Observation',
    status: 'final',
    code: coded('observation', 'worn-broken-skin'),
    subject: { reference: keptAs(sent[0], whole, 'patient') },
    effectiveDateTime: '2026-03-01',
    bodySite: coded('side', 'left-foot'),
    valueBoolean: true,
  }
  await service.send(partner, { method: 'POST', url: '/fhir/Observation', body: sign })
  const asked = [
    `${keptAs(sent[0], whole, 'patient')}/$everything?_count=1000`,
    `${keptAs(sent[1], small, 'patient')}/$everything?_count=1000`,
    'Questionnaire?_count=100',
    'Task?_count=100',
  ]
  const found = await Promise.all(asked.map((url) => service.send(staff, { url: `/fhir/${url}` })))
  return found.flatMap(resources)
}

test('every extension of ours is defined, and stands where its definition says, with that value', async () => {
  const made = await everythingMade()
  const found = new Set(made.flatMap((one) => placed(one, String(one['resourceType']))))

  const answer = await service.send(staff, { url: '/fhir/StructureDefinition?type=Extension' })
  const allowed = resources(answer).flatMap((one) => {
    const { url, context, differential } = Definition.parse(one)
    const value = differential.element.find(({ id }) => id === 'Extension.value[x]')
    const type = value?.type?.[0]?.code ?? ''
    const as = `${type.slice(0, 1).toUpperCase()}${type.slice(1)}`
    return context.map(({ expression }) => `${url} on ${expression} with ${as}`)
  })

  expect(found.size).toBeGreaterThan(10)
  expect([...found].filter((one) => !allowed.includes(one))).toEqual([])
}, 60_000)
