import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../../src/fhir/validate.ts'
import { coded, observed, referralParts, without } from '../helpers/referral.ts'
import { keptAs, resource, type TestService, testService, type Who } from '../helpers/service.ts'

let service: TestService
let staff: Who
let partner: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  return service.close
})

const Answer = z.object({
  parameter: z.array(
    z.object({
      name: z.literal('decision'),
      part: z.array(
        z.looseObject({
          name: z.string(),
          valueCoding: z.object({ code: z.string() }).optional(),
          valueReference: z.object({ reference: z.string() }).optional(),
          valueString: z.string().optional(),
          part: z.array(z.looseObject({ name: z.string() })).optional(),
        }),
      ),
    }),
  ),
})

async function decidedTwice(key: string) {
  const parts = without(referralParts({ key }), 'muscle-tone', 'condition', 'generalised-laxity')
  const sent = await service.refer(partner, parts)
  service.clock.advance(60_000)
  const tone = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Observation',
    body: {
      resourceType: 'Observation',
      status: 'final',
      code: coded('observation', 'muscle-tone'),
      subject: { reference: keptAs(sent, parts, 'patient') },
      effectiveDateTime: '2026-03-02',
      valueCodeableConcept: coded('value', 'tone-low'),
    },
  })
  expect(tone.status).toBe(201)
  return `/fhir/${keptAs(sent, parts, 'referral')}/$decisions`
}

test('each decision is told with its inputs, and what differs from the one before', async () => {
  const url = await decidedTwice('twice')

  const answer = await service.send(partner, { url })

  expect(answer.status).toBe(200)
  expect(validateResource(answer.json)).toEqual([])
  const [first, second, ...more] = Answer.parse(answer.json).parameter
  expect(more).toEqual([])
  const outcome = (one: typeof first) =>
    one?.part.find(({ name }) => name === 'suitability')?.valueCoding?.code
  expect([outcome(first), outcome(second)]).toEqual(['undetermined', 'suitable'])
  expect(first?.part.some(({ name }) => name === 'difference')).toBe(false)
  const difference = second?.part.find(({ name }) => name === 'difference')
  expect(difference?.part?.map(({ name }) => name)).toContain('suitability')
  expect(second?.part.find(({ name }) => name === 'ruleSet')?.valueString).toMatch(/\|2026\.1$/)
  const added = second?.part.filter(({ name }) => name === 'newInput')
  expect(added).toHaveLength(1)
  expect(added?.[0]?.valueReference?.reference).toMatch(/^Observation\/.+\/_history\/1$/)
})

test('staff see the same, another partner finds nothing', async () => {
  const url = await decidedTwice('isolated')

  const own = await service.send(partner, { url })
  const byStaff = await service.send(staff, { url })
  const byOther = await service.send(other, { url })

  expect(byStaff.text).toBe(own.text)
  expect(byOther.status).toBe(404)
})

test('what only staff may see is named to staff, once for each decision', async () => {
  const parts = referralParts({ key: 'kept' })
  const sent = await service.refer(partner, parts)
  const url = `/fhir/${keptAs(sent, parts, 'referral')}/$decisions`
  service.clock.advance(60_000)
  const exclusion = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Observation',
    body: {
      ...observed('modified-ashworth-calf', '2026-03-02', {
        valueCodeableConcept: coded('value', 'ashworth-2'),
        bodySite: coded('side', 'left-foot'),
      }),
      subject: { reference: keptAs(sent, parts, 'patient') },
    },
  })
  const id = String(resource(exclusion)['id'])

  const told = await service.send(partner, { url })
  const byStaff = await service.send(staff, { url })

  const outcomes = ({ json }: typeof told) =>
    Answer.parse(json).parameter.map(
      ({ part }) => part.find(({ name }) => name === 'suitability')?.valueCoding?.code,
    )
  expect(outcomes(told)).toEqual(['suitable', 'unsuitable'])
  expect(outcomes(byStaff)).toEqual(outcomes(told))
  expect(told.text).not.toContain(id)
  expect(byStaff.text).toContain(`Observation/${id}/_history/1`)
})
