import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { FIT_CHECK_URL } from '../../src/fhir/fit-check-answers.ts'
import { coded, type Json, quantity, referralParts } from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  issues,
  keptAs,
  resource,
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

const Concept = z.object({
  coding: z.array(z.object({ code: z.string() })).default([]),
  text: z.string().optional(),
})
const Finding = z.object({
  code: Concept,
  valueCodeableConcept: Concept.optional(),
  note: z.array(z.object({ text: z.string() })).default([]),
  component: z
    .array(
      z.object({
        code: Concept,
        valueCodeableConcept: Concept.optional(),
        valueQuantity: z.object({ value: z.number() }).optional(),
      }),
    )
    .default([]),
})
const found = (answer: Answer, code: string) =>
  resources(answer)
    .flatMap((one) => (one['resourceType'] === 'Observation' ? [Finding.parse(one)] : []))
    .find((one) => one.code.coding[0]?.code === code)
const valueOf = (answer: Answer, code: string) =>
  found(answer, code)?.valueCodeableConcept?.coding[0]?.code

/** A referred child whose left foot wears a size since the day of the referral's observations. */
async function fitted(key: string, delivered = '2026-02-16') {
  const parts = referralParts({ key })
  const sent = await service.refer(partner, parts)
  const referral = keptAs(sent, parts, 'referral')
  const patient = { reference: keptAs(sent, parts, 'patient') }
  const create = async (body: Json) => {
    const answer = await service.send(partner, {
      method: 'POST',
      url: `/fhir/${String(body['resourceType'])}`,
      body,
    })
    return answer
  }
  const device = resource(
    await create({
      resourceType: 'Device',
      status: 'active',
      type: coded('exchange', 'supramalleolar-orthosis'),
      modelNumber: 'G6',
      patient,
    }),
  )
  const use = {
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject: patient,
    device: { reference: `Device/${String(device['id'])}` },
    bodySite: coded('side', 'left-foot'),
    timingPeriod: { start: delivered },
  }
  await create(use)
  const answered = (items: readonly Json[], more: Json = {}) =>
    create({
      resourceType: 'QuestionnaireResponse',
      questionnaire: FIT_CHECK_URL,
      status: 'completed',
      authored: '2026-03-01',
      subject: patient,
      item: items,
      ...more,
    })
  const visit = (query = '') =>
    service.send(partner, { url: `/fhir/${referral}/$follow-up${query}` })
  return { answered, create, patient, use, visit }
}

const item = (linkId: string, answer: Json): Json => ({ linkId, answer: [answer] })
/** Every item of the left foot as it should be. */
const RIGHT: readonly Json[] = [
  item('heel-fully-back-and-down.left', { valueBoolean: true }),
  item('ankle-bones-free.left', { valueBoolean: true }),
  item('closure-gap.left', quantity(13, 'mm')),
  item('medial-trim-line.left', quantity(4, 'mm')),
  item('lateral-trim-line.left', quantity(2, 'mm')),
  item('no-edge-past-metatarsal-heads.left', { valueBoolean: true }),
  item('redness.left', quantity(5, 'min')),
  item('floor-to-stand-and-back', { valueBoolean: true }),
]
const but = (changed: Json): Json[] => [
  ...RIGHT.filter(({ linkId }) => linkId !== changed['linkId']),
  changed,
]

test('before a device is delivered there is nothing to evaluate', async () => {
  const parts = referralParts({ key: 'no-device' })
  const sent = await service.refer(partner, parts)

  const answer = await service.send(partner, {
    url: `/fhir/${keptAs(sent, parts, 'referral')}/$follow-up`,
  })

  expect(answer.status).toBe(422)
  expect(issues(answer)[0]?.details?.text).toContain('DeviceUseStatement')
})

test('a fit check that is all right passes', async () => {
  const { answered, visit } = await fitted('passes')
  expect((await answered(RIGHT)).status).toBe(201)

  const answer = await visit()

  expect(answer.status).toBe(200)
  expect(valueOf(answer, 'fit-check-result')).toBe('fit-pass')
})

test('a closure that stands too wide is adjusted, by so many millimetres', async () => {
  const { answered, visit } = await fitted('adjusts')
  await answered(but(item('closure-gap.left', quantity(2.5, 'cm'))))

  const answer = await visit()
  const adjust = found(answer, 'fit-check-result')?.component.find(({ code }) =>
    code.coding.some(({ code: one }) => one === 'to-adjust'),
  )

  expect(valueOf(answer, 'fit-check-result')).toBe('fit-adjust')
  expect(valueOf(answer, 'follow-up-visit')).toBe('follow-up-adjust')
  expect(adjust?.valueQuantity?.value).toBe(12)
})

test('redness over 30 minutes stops the device, whatever else fits', async () => {
  const { answered, visit } = await fitted('stops')
  await answered(but(item('redness.left', quantity(31, 'min'))))

  const answer = await visit()

  expect(valueOf(answer, 'fit-check-result')).toBe('fit-stop')
  expect(valueOf(answer, 'follow-up-visit')).toBe('follow-up-stop')
})

test('of two fit checks the later counts, and one from before the delivery does not', async () => {
  const { answered, visit } = await fitted('later')
  await answered(but(item('redness.left', quantity(31, 'min'))), { authored: '2026-02-20' })
  await answered(RIGHT)
  await answered(but(item('redness.left', quantity(31, 'min'))), { authored: '2026-02-10' })

  expect(valueOf(await visit(), 'fit-check-result')).toBe('fit-pass')
  expect(valueOf(await visit('?asOf=2026-02-25'), 'fit-check-result')).toBe('fit-stop')
})

test('a fit check that nobody answered leaves the visit open', async () => {
  const { visit } = await fitted('open')
  const answer = await visit()

  expect(found(answer, 'fit-check-result')).toBeUndefined()
  expect(valueOf(answer, 'follow-up-visit')).toBe('follow-up-open')
})

test('a blister that somebody saw stops the device', async () => {
  const { create, patient, visit } = await fitted('blister')
  const seen = await create({
    resourceType: 'Observation',
    status: 'final',
    code: coded('observation', 'worn-blister'),
    subject: patient,
    effectiveDateTime: '2026-03-01',
    bodySite: coded('side', 'left-foot'),
    valueBoolean: true,
  })

  expect(seen.status).toBe(201)
  expect(valueOf(await visit(), 'follow-up-visit')).toBe('follow-up-stop')
})

test('an answer in words and a device without a foot are refused with their place', async () => {
  const { answered, create, use } = await fitted('refused')
  const words = await answered([item('closure-gap.left', { valueString: 'wide' })])
  const { bodySite, ...footless } = use
  const nowhere = await create(footless)

  expect(bodySite).toBeDefined()
  expect(words.status).toBe(422)
  expect(expressions(words)).toEqual(['QuestionnaireResponse.item[0].answer[0]'])
  expect(nowhere.status).toBe(422)
  expect(expressions(nowhere)).toEqual(['DeviceUseStatement.bodySite'])
})

test('an answer about a foot that wears nothing is refused, not ignored', async () => {
  const { answered } = await fitted('other-foot')
  const answer = await answered([...RIGHT, item('redness.right', quantity(40, 'min'))])

  expect(answer.status).toBe(422)
  expect(expressions(answer)).toEqual(['QuestionnaireResponse.item[8].linkId'])
})

test('what is found when nothing was sent is not stored, and is the same when asked again', async () => {
  const { visit } = await fitted('again')
  const first = await visit()

  expect(resources(await visit())).toEqual(resources(first))
  const [one] = resources(first)
  const read = await service.send(partner, { url: `/fhir/Observation/${String(one?.['id'])}` })
  expect(read.status).toBe(404)
})
