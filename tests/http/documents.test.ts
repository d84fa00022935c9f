import { createHash } from 'node:crypto'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { DOCUMENT_KINDS } from '../../src/fhir/document-codes.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { coded, type Json, observed, referralParts, without } from '../helpers/referral.ts'
import { documentIn } from '../helpers/signed.ts'
import {
  BASE,
  type Answer,
  bundle,
  entries,
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
let staff: Who
let partner: Who
let other: Who
let referral: string
let patient: string
let task: string
let orthotist: string

const parts = referralParts({ key: 'documents' })

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  const sent = await service.refer(partner, parts)
  referral = keptAs(sent, parts, 'referral')
  patient = keptAs(sent, parts, 'patient')
  task = keptAs(sent, parts, 'task')
  orthotist = await create(staff, {
    resourceType: 'Practitioner',
    identifier: [{ system: 'https://invented.example/staff', value: 'orthotist' }],
    name: [{ text: 'Odo Invented' }],
    qualification: [{ code: { text: 'Certified orthotist' } }],
  })
})
afterAll(() => service.close())

async function create(who: Who, body: Json): Promise<string> {
  const type = String(body['resourceType'])
  const answer = await service.send(who, { method: 'POST', url: `/fhir/${type}`, body })
  expect(answer.status, answer.text).toBe(201)
  return `${type}/${String(resource(answer)['id'])}`
}

const get = (who: Who, url: string, accept?: string): Promise<Answer> =>
  service.send(who, { url: `/fhir/${url}`, ...(accept && { headers: { accept } }) })
const draft = (kind: string, accept?: string, more = '') =>
  get(staff, `${referral}/$documents?kind=${kind}${more}`, accept)
const signOff = async (who: Who, query: string, of = referral) =>
  documentIn(await service.send(who, { method: 'POST', url: `/fhir/${of}/$sign-off?${query}` }))

test.each(DOCUMENT_KINDS)('%s is a draft as HTML, as PDF and as a FHIR document', async (kind) => {
  const html = await draft(kind, 'text/html')
  expect(html.status).toBe(200)
  expect(html.headers).toMatchObject({
    'content-type': 'text/html; charset=utf-8',
    'x-content-type-options': 'nosniff',
    'content-security-policy':
      "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox",
  })
  expect(html.text).toContain('Draft')

  const pdf = await draft(kind, 'application/pdf')
  expect(pdf.headers['content-type']).toBe('application/pdf')
  expect(pdf.text.startsWith('%PDF-')).toBe(true)

  const fhir = await draft(kind, 'application/fhir+json')
  expect(validateResource(fhir.json)).toEqual([])
  expect(bundle(fhir).type).toBe('document')
  expect(resources(fhir)[0]).toMatchObject({ resourceType: 'Composition', status: 'preliminary' })
})

test('the same draft is the same file', async () => {
  for (const accept of ['text/html', 'application/pdf'])
    expect((await draft('reply', accept)).text).toBe((await draft('reply', accept)).text)
})

test('a draft is kept nowhere', async () => {
  const counts = async () =>
    Promise.all(
      ['Composition', 'DocumentReference', 'Binary', 'Task'].map(
        async (type) => bundle(await get(staff, `${type}/_history?_summary=count`)).total,
      ),
    )
  const before = await counts()
  for (const kind of DOCUMENT_KINDS) await draft(kind, 'application/fhir+json')

  expect(await counts()).toEqual(before)
})

test('the language is the one that is asked for', async () => {
  expect((await draft('family-sheet', 'text/html', '&language=es')).text).toContain(
    '<html lang="es">',
  )
})

test('kind, paper and person have to be what they can be', async () => {
  const refused = async (answer: Promise<Answer>, at: string) => {
    const found = await answer
    expect(found.status).toBe(400)
    expect(expressions(found)).toEqual([at])
  }
  await refused(get(staff, `${referral}/$documents`), 'http.kind')
  await refused(draft('poem'), 'http.kind')
  await refused(draft('reply', undefined, '&paper=A3'), 'http.paper')
  await refused(draft('reply', undefined, '&language=fr'), 'http.language')
  await refused(signOff(staff, 'kind=reply'), 'http.person')
  await refused(signOff(staff, `kind=reply&person=${patient}`), 'http.person')
  await refused(
    signOff(staff, `kind=family-sheet&person=${orthotist}&release=perhaps`),
    'http.release',
  )
  expect((await draft('reply', 'image/png')).status).toBe(406)
})

test('documents are made and signed off by the staff of the clinic alone', async () => {
  for (const answer of [
    await get(partner, `${referral}/$documents?kind=reply`),
    await signOff(partner, `kind=reply&person=${orthotist}`),
    await signOff(other, `kind=reply&person=${orthotist}`),
  ]) {
    expect(answer.status).toBe(403)
    expect(issues(answer)[0]?.code).toBe('forbidden')
  }
})

test('who signs off is a person of the clinic, with a name and a qualification on record', async () => {
  const partners = keptAs(await service.refer(partner, parts), parts, 'practitioner')
  const nameless = await create(staff, {
    resourceType: 'Practitioner',
    qualification: [{ code: { text: 'Certified orthotist' } }],
  })
  const unqualified = await create(staff, {
    resourceType: 'Practitioner',
    name: [{ text: 'Una Invented' }],
  })
  for (const person of [partners, nameless, unqualified, 'Practitioner/nobody']) {
    const answer = await signOff(staff, `kind=reply&person=${person}`)
    expect(answer.status).toBe(422)
    expect(expressions(answer)).toEqual(['http.person'])
  }
})

const Reference = z.looseObject({
  id: z.string(),
  status: z.string(),
  docStatus: z.string(),
  relatesTo: z
    .array(z.object({ code: z.string(), target: z.object({ reference: z.string() }) }))
    .optional(),
  content: z.array(
    z.object({
      attachment: z.object({
        contentType: z.string(),
        url: z.string(),
        size: z.number(),
        hash: z.string(),
        creation: z.string(),
        language: z.string(),
      }),
    }),
  ),
})

test('a reply that is signed off is kept whole, told to its partner, and an output of the Task', async () => {
  const signed = await signOff(staff, `kind=reply&person=${orthotist}`)
  expect(signed.status, signed.text).toBe(200)
  expect(validateResource(signed.json)).toEqual([])
  const document = Reference.parse(signed.json)
  expect(document).toMatchObject({ status: 'current', docStatus: 'final' })
  expect(document.content.map(({ attachment }) => attachment.contentType)).toEqual([
    'text/html',
    'application/pdf',
  ])

  const composition = await get(partner, `Composition/${document.id}`)
  expect(validateResource(composition.json)).toEqual([])
  expect(resource(composition)).toMatchObject({
    status: 'final',
    attester: [{ mode: 'professional', party: { reference: orthotist, display: 'Odo Invented' } }],
  })

  for (const { attachment } of document.content) {
    const content = await get(partner, attachment.url, 'application/fhir+json')
    const { data } = z.object({ data: z.string() }).parse(content.json)
    const bytes = Buffer.from(data, 'base64')
    expect(bytes).toHaveLength(attachment.size)
    expect(createHash('sha1').update(bytes).digest('base64')).toBe(attachment.hash)
    if (attachment.contentType === 'text/html') {
      expect(bytes.toString()).toContain('Odo Invented')
      expect(bytes.toString()).not.toContain('Draft')
    }
    expect((await get(other, attachment.url)).status).toBe(404)
  }

  const { output } = z
    .looseObject({
      output: z.array(
        z.looseObject({ valueReference: z.object({ reference: z.string() }).optional() }),
      ),
    })
    .parse((await get(partner, task)).json)
  expect(output.map(({ valueReference }) => valueReference?.reference)).toContain(
    `DocumentReference/${document.id}`,
  )
})

test('signed off again by the same person, the same document is kept once', async () => {
  const first = await signOff(staff, `kind=reply&person=${orthotist}`)
  service.clock.advance(1_000)
  const again = await signOff(staff, `kind=reply&person=${orthotist}`)

  expect(again.text).toBe(first.text)
})

test('signed off by the same person several times at once, it is kept once', async () => {
  await create(partner, {
    ...observed('habitual-w-sitting', '2026-03-01', { valueBoolean: true }),
    subject: { reference: patient },
  })
  const all = await Promise.all(
    Array.from({ length: 3 }, () => signOff(staff, `kind=reply&person=${orthotist}`)),
  )

  expect(all.map(({ status }) => status)).toEqual([200, 200, 200])
  expect(new Set(all.map(({ text }) => text)).size).toBe(1)
})

test('a paper that its record outran while it was rendered says what the record says then', async () => {
  const late = {
    ...observed('habitual-w-sitting', '2026-03-02', { valueBoolean: true }),
    subject: { reference: patient },
  }
  const [signed, written] = await Promise.all([
    signOff(staff, `kind=reply&person=${orthotist}`),
    create(partner, late),
  ])
  const { id } = Reference.parse(signed.json)
  const again = Reference.parse((await signOff(staff, `kind=reply&person=${orthotist}`)).json)

  // It knew the observation, or was signed before it came and has been replaced.
  const knew = signed.text.includes(written)
  expect(again.id === id).toBe(knew)
})

test('a signed document is not changed and not deleted', async () => {
  const { id } = Reference.parse((await signOff(staff, `kind=reply&person=${orthotist}`)).json)
  for (const type of ['DocumentReference', 'Composition']) {
    const kept = await get(staff, `${type}/${id}`)
    const body = { ...resource(kept), language: 'es' }
    const put = await service.send(staff, { method: 'PUT', url: `/fhir/${type}/${id}`, body })
    expect(put.status).toBe(405)
    const gone = await service.send(staff, { method: 'DELETE', url: `/fhir/${type}/${id}` })
    expect(gone.status).toBe(405)
  }
})

test('of later data a reply takes the place of the one before, which stays as it was', async () => {
  const before = Reference.parse((await signOff(staff, `kind=reply&person=${orthotist}`)).json)
  const html = before.content[0]?.attachment.url ?? ''
  const text = (await get(staff, html)).text
  service.clock.advance(60_000)
  await create(partner, {
    ...observed('habitual-w-sitting', '2026-03-02', { valueBoolean: false }),
    subject: { reference: patient },
  })
  const after = Reference.parse((await signOff(staff, `kind=reply&person=${orthotist}`)).json)

  expect(after.id).not.toBe(before.id)
  expect(after.relatesTo).toEqual([
    { code: 'replaces', target: { reference: `DocumentReference/${before.id}` } },
  ])
  expect(
    Reference.parse((await get(partner, `DocumentReference/${before.id}`)).json),
  ).toMatchObject({ status: 'superseded', docStatus: 'final' })
  expect((await get(staff, html)).text).toBe(text)
  const replies = (await get(partner, task)).text.match(/DocumentReference\/[0-9a-f-]+/g)
  expect(replies).toEqual([`DocumentReference/${after.id}`])
})

test('what is for the clinic stays there; the sheet for the family goes out when it is released', async () => {
  const seen = async (query: string) => {
    const signed = await signOff(staff, `${query}&person=${orthotist}`)
    expect(signed.status, signed.text).toBe(200)
    const { id } = Reference.parse(signed.json)
    expect((await get(staff, `DocumentReference/${id}`)).status).toBe(200)
    return (await get(partner, `DocumentReference/${id}`)).status
  }

  for (const kind of ['order', 'medical-necessity', 'authorisation-packet'])
    expect(await seen(`kind=${kind}&release=true`)).toBe(404)
  expect(await seen('kind=family-sheet')).toBe(404)
  expect(await seen('kind=family-sheet&release=true')).toBe(200)
})

test('what is signed off stands in the list of the packet', async () => {
  const packet = await draft('authorisation-packet', 'text/html')

  expect(packet.text).toMatch(/Order for an orthosis[^<]*<\/th><td>signed off on/)
})

test('the parameters may come in a body', async () => {
  const body = {
    resourceType: 'Parameters',
    parameter: [
      { name: 'kind', valueCode: 'family-sheet' },
      { name: 'language', valueCode: 'es' },
      { name: 'person', valueReference: { reference: orthotist } },
      { name: 'release', valueBoolean: true },
    ],
  }
  const url = `/fhir/${referral}/$sign-off`
  const signed = documentIn(await service.send(staff, { method: 'POST', url, body }))

  expect(signed.status, signed.text).toBe(200)
  const { id, content } = Reference.parse(signed.json)
  expect(content[0]?.attachment.language).toBe('es')
  expect((await get(partner, `DocumentReference/${id}`)).status).toBe(200)
})

test('Composition/$document holds the Composition and what it refers to', async () => {
  const { id } = Reference.parse((await signOff(staff, `kind=reply&person=${orthotist}`)).json)
  const found = await get(staff, `Composition/${id}/$document`)

  expect(found.status).toBe(200)
  expect(validateResource(found.json)).toEqual([])
  expect(bundle(found).type).toBe('document')
  const types = resources(found).map(({ resourceType }) => resourceType)
  expect(types[0]).toBe('Composition')
  expect(new Set(types.slice(1))).toEqual(
    new Set(['Patient', 'ServiceRequest', 'Practitioner', 'Organization', 'PractitionerRole']),
  )
  expect(new Set(entries(found).map(({ fullUrl }) => fullUrl)).size).toBe(types.length)
  expect((await get(other, `Composition/${id}/$document`)).status).toBe(404)
  const kept = await get(staff, `Composition/${id}/$document?persist=true`)
  expect(kept.status).toBe(400)
  expect(expressions(kept)).toEqual(['http.persist'])
})

// R4, OperationDefinition Composition-document: type and instance; `id` names the Composition at the level of the
// type only, by an id or a URL.
test('Composition/$document of the type takes the id as a parameter', async () => {
  const { id } = Reference.parse((await signOff(staff, `kind=reply&person=${orthotist}`)).json)
  const one = await get(staff, `Composition/${id}/$document`)
  const named = [id, `Composition/${id}`, `${BASE}/Composition/${id}`]

  for (const value of named) {
    const found = await get(staff, `Composition/$document?id=${encodeURIComponent(value)}`)
    expect([found.status, found.text]).toEqual([200, one.text])
  }
  const parameter = [{ name: 'id', valueUri: id }]
  const posted = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Composition/$document',
    body: { resourceType: 'Parameters', parameter },
  })
  expect([posted.status, posted.text]).toEqual([200, one.text])
  expect((await get(other, `Composition/$document?id=${id}`)).status).toBe(404)
  for (const [url, at] of [
    ['Composition/$document', 'http.id'],
    [`Composition/$document?id=${id}&id=${id}`, 'http.id'],
    ['Composition/$document?id=https://elsewhere.example/fhir/Composition/1', 'http.id'],
    [`Composition/${id}/$document?id=${id}`, 'http.id'],
    [`Composition/${id}/$document?graph=https://a.example/graph`, 'http.graph'],
  ] as const) {
    const refused = await get(staff, url)
    expect([refused.status, expressions(refused)], url).toEqual([400, [at]])
  }
})

test('a child for whom nothing is proposed has a reply and a sheet, no order', async () => {
  const few = without(referralParts({ key: 'documents-few' }), 'muscle-tone', 'foot-posture-index')
  const sent = await service.refer(partner, few)
  const of = keptAs(sent, few, 'referral')

  for (const kind of ['reply', 'family-sheet'])
    expect((await get(staff, `${of}/$documents?kind=${kind}`)).status).toBe(200)
  for (const kind of ['order', 'medical-necessity', 'authorisation-packet'])
    expect((await get(staff, `${of}/$documents?kind=${kind}`)).status).toBe(422)
})

test('every call on documents is in the log, with the child', async () => {
  const events = await get(staff, `AuditEvent?patient=${patient}&_count=500`)

  for (const operation of ['documents', 'sign-off', 'document'])
    expect(events.text, operation).toContain(`CodeSystem/operation","code":"${operation}"`)
})

test('a reply that is signed after a device must come off says so, in the place of the one before', async () => {
  const child = referralParts({ key: 'stopped-reply' })
  const sent = await service.refer(partner, child)
  const [of, who] = [keptAs(sent, child, 'referral'), keptAs(sent, child, 'patient')]
  const device = await create(partner, {
    resourceType: 'Device',
    status: 'active',
    type: coded('exchange', 'supramalleolar-orthosis'),
    modelNumber: 'G6',
    patient: { reference: who },
  })
  await create(partner, {
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject: { reference: who },
    device: { reference: device },
    bodySite: coded('side', 'left-foot'),
    timingPeriod: { start: '2026-02-16' },
  })
  const signed = async () => {
    const query = `kind=reply&person=${orthotist}`
    const { id } = resource(await signOff(staff, query, of))
    const read = await get(partner, `Composition/${String(id)}`)
    return { id, text: read.text, composition: resource(read) }
  }
  const before = await signed()
  await create(partner, {
    resourceType: 'Observation',
    status: 'final',
    code: coded('observation', 'worn-blister'),
    bodySite: coded('side', 'left-foot'),
    subject: { reference: who },
    effectiveDateTime: '2026-03-01',
    valueBoolean: true,
  })

  const after = await signed()

  expect(before.text).toContain('Delivered on February 16, 2026')
  expect(before.text).not.toContain('Stop: the devices stay off')
  expect(after.text).toContain('Stop: the devices stay off')
  expect(after.composition['relatesTo']).toEqual([
    { code: 'replaces', targetReference: { reference: `Composition/${String(before.id)}` } },
  ])
})
