import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { PICTURE_KINDS } from '../../src/pictures/picture.ts'
import { referralParts, without } from '../helpers/referral.ts'
import { type Answer, keptAs, testService, type TestService, type Who } from '../helpers/service.ts'
import { allOf, readSvg } from '../helpers/svg.ts'

let service: TestService
let staff: Who
let partner: Who
let other: Who
let referral: string
let patient: string

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  const sent = await service.refer(partner, referralParts({ key: 'chart' }))
  referral = keptAs(sent, referralParts({ key: 'chart' }), 'referral')
  patient = keptAs(sent, referralParts({ key: 'chart' }), 'patient')
})
afterAll(() => service.close())

const asked = (who: Who, url: string, accept?: string): Promise<Answer> =>
  service.send(who, { url: `/fhir/${url}`, ...(accept && { headers: { accept } }) })

const Outcome = z.object({
  issue: z.array(z.object({ code: z.string(), expression: z.array(z.string()).optional() })),
})

test.each(PICTURE_KINDS)(
  'the picture %s of a referral is an SVG that runs nothing',
  async (kind) => {
    const found = await asked(partner, `${referral}/$chart?kind=${kind}`)

    expect(found.status).toBe(200)
    expect(found.headers).toMatchObject({
      'content-type': 'image/svg+xml; charset=utf-8',
      'content-security-policy': "default-src 'none'; frame-ancestors 'none'; sandbox",
      'x-content-type-options': 'nosniff',
      'cache-control': 'private, no-cache',
    })
    expect(readSvg(found.text).attributes['data-picture']).toBe(kind)
  },
)

test('a child has the picture of its newest referral', async () => {
  const ofReferral = await asked(partner, `${referral}/$chart?kind=urgency`)
  const ofChild = await asked(partner, `${patient}/$chart?kind=urgency`)

  expect(ofChild.status).toBe(200)
  expect(ofChild.text).toBe(ofReferral.text)
})

const Binary = z.object({
  resourceType: z.literal('Binary'),
  contentType: z.literal('image/svg+xml'),
  data: z.string(),
})

test('where FHIR JSON is asked for the picture comes in a Binary', async () => {
  const svg = await asked(partner, `${referral}/$chart?kind=urgency`)
  for (const found of [
    await asked(partner, `${referral}/$chart?kind=urgency`, 'application/fhir+json'),
    await asked(partner, `${referral}/$chart?kind=urgency&_format=json`),
    await asked(partner, `${referral}/$chart?kind=urgency`, 'application/fhir+json, image/*;q=0.5'),
  ]) {
    expect(found.status).toBe(200)
    expect(found.headers['content-type']).toContain('application/fhir+json')
    const { data } = Binary.parse(found.json)
    expect(Buffer.from(data, 'base64').toString('utf8')).toBe(svg.text)
  }
})

test.each([
  'image/svg+xml',
  'image/*',
  '*/*',
  'text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,*/*;q=0.8',
  'image/avif,image/webp,image/svg+xml,image/*,*/*;q=0.8',
])('who accepts %s gets the SVG', async (accept) => {
  const found = await asked(partner, `${referral}/$chart?kind=urgency`, accept)

  expect(found.headers['content-type']).toBe('image/svg+xml; charset=utf-8')
})

test('what else is asked for is refused with 406', async () => {
  for (const [url, accept] of [
    [`${referral}/$chart?kind=urgency`, 'image/png'],
    [`${referral}/$chart?kind=urgency&_format=xml`, undefined],
  ] as const)
    expect((await asked(partner, url, accept)).status).toBe(406)
})

test('the language is the one that is asked for, the day too', async () => {
  const english = await asked(partner, `${referral}/$chart?kind=urgency&asOf=2026-03-20`)
  const spanish = await asked(
    partner,
    `${referral}/$chart?kind=urgency&language=es&asOf=2026-03-20`,
  )
  const now = await asked(partner, `${referral}/$chart?kind=urgency`)

  expect(readSvg(english.text).attributes['lang']).toBe('en')
  expect(readSvg(spanish.text).attributes['lang']).toBe('es')
  expect(spanish.text).toContain('Urgencia')
  expect(now.text).not.toBe(english.text)
})

test('kind has to be one that there is; the parameters may come in a body', async () => {
  for (const [query, code] of [
    ['', 'required'],
    ['?kind=', 'value'],
    ['?kind=pie', 'value'],
  ] as const) {
    const found = await asked(partner, `${referral}/$chart${query}`)
    expect(found.status).toBe(400)
    expect(Outcome.parse(found.json).issue[0]).toMatchObject({ code, expression: ['http.kind'] })
  }
  const body = {
    resourceType: 'Parameters',
    parameter: [
      { name: 'kind', valueCode: 'urgency' },
      { name: 'language', valueCode: 'es' },
    ],
  }
  const sent = await service.send(partner, {
    method: 'POST',
    url: `/fhir/${referral}/$chart`,
    body,
  })
  expect(sent.status).toBe(200)
  expect(allOf(readSvg(sent.text)).find(({ name }) => name === 'title')?.text).toContain('Urgencia')
})

test('a child of another partner, and one without a referral, have no picture', async () => {
  for (const target of [referral, patient])
    expect((await asked(other, `${target}/$chart?kind=urgency`)).status).toBe(404)
  expect((await asked(staff, `${patient}/$chart?kind=urgency`)).status).toBe(200)
  const alone = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Patient',
    body: {
      resourceType: 'Patient',
      identifier: [{ system: 'https://invented.example/children', value: 'no-referral' }],
      gender: 'female',
      birthDate: '2024-10-01',
    },
  })
  const id = z.object({ id: z.string() }).parse(alone.json).id
  expect((await asked(partner, `Patient/${id}/$chart?kind=urgency`)).status).toBe(422)
})

const CarePlan = z.object({
  entry: z.array(
    z.object({
      resource: z.object({ resourceType: z.string(), text: z.object({ div: z.string() }) }),
    }),
  ),
})

test('the narrative of a plan carries the pictures of what it foretells, each with its words', async () => {
  const plan = CarePlan.parse((await asked(partner, `${referral}/$fitting-plan`)).json)
  const care = plan.entry.find(({ resource }) => resource.resourceType === 'CarePlan')
  const found = [
    ...(care?.resource.text.div ?? '').matchAll(
      /<img src="data:image\/svg\+xml;base64,([^"]+)" alt="([^"]+)"\/>/g,
    ),
  ]

  expect(found).toHaveLength(3)
  for (const [index, kind] of ['milestones', 'growth', 'wear'].entries()) {
    const chart = await asked(partner, `${referral}/$chart?kind=${kind}`)
    expect(Buffer.from(found[index]?.[1] ?? '', 'base64').toString('utf8')).toBe(chart.text)
    expect(found[index]?.[2]?.length).toBeGreaterThan(50)
  }
})

test('the call is in the log, with the child', async () => {
  const events = await asked(staff, `AuditEvent?patient=${patient}&_count=200`)

  expect(events.text.includes('CodeSystem/operation","code":"chart"')).toBe(true)
})

test('a child of whom much is missing gets its pictures too', async () => {
  const parts = without(referralParts({ key: 'chart-less' }), 'foot-posture-index', 'foot-length')
  const sent = await service.refer(partner, parts)
  for (const kind of PICTURE_KINDS) {
    const found = await asked(partner, `${keptAs(sent, parts, 'referral')}/$chart?kind=${kind}`)
    expect(found.status, kind).toBe(200)
  }
})
