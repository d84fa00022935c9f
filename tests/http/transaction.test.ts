import { beforeAll, expect, test } from 'vitest'
import {
  bundleOf,
  changed,
  type Json,
  observed,
  type Parts,
  quantity,
  referralParts,
  smallReferral,
  urn,
  without,
  withPart,
} from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  entries,
  expressions,
  issues,
  kept,
  keptAs,
  resource,
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

const post = (body: unknown, headers: Record<string, string> = {}, url = '/fhir') =>
  service.send(partner, { method: 'POST', url, body, headers })
const rowsOf = async (key: string) => {
  const [row] = await service.sql<{ count: number }>(
    `select (select count(*) from resource_versions where body like $1)::int
      + (select count(*) from resources where body like $1)::int
      + (select count(*) from index_tokens where code like $1)::int as count`,
    [`%${key}-%`],
  )
  return row?.count
}
/** Sends a referral that must be refused and leave nothing. */
async function refused(key: string, change: (parts: Parts) => Parts): Promise<Answer> {
  const answer = await post(bundleOf(change(smallReferral({ key }))))
  expect(await rowsOf(key)).toBe(0)
  return answer
}

test('a referral is answered entry by entry, in the order sent, with locations that resolve', async () => {
  const parts = referralParts({ key: 'whole' })

  const answer = await post(bundleOf(parts))

  expect(answer.status).toBe(200)
  expect(answer.json).toMatchObject({ resourceType: 'Bundle', type: 'transaction-response' })
  expect(entries(answer)).toHaveLength(parts.size)
  for (const [index, part] of [...parts.values()].entries()) {
    const { response, fullUrl } = entries(answer)[index] ?? {}
    expect(response).toMatchObject({ status: '201 Created', etag: 'W/"1"' })
    expect(response?.location).toMatch(
      new RegExp(`^${BASE}/${String(part.resource['resourceType'])}/`),
    )
    expect(fullUrl).toBe(response?.location?.replace('/_history/1', ''))
    const read = await service.send(partner, {
      url: (response?.location ?? '').replace(BASE, '/fhir'),
    })
    expect(read.status).toBe(200)
    expect(read.headers['etag']).toBe('W/"1"')
    expect(resource(read)).toMatchObject({
      resourceType: part.resource['resourceType'],
      identifier: part.resource['identifier'],
      meta: { versionId: '1', lastUpdated: response?.lastModified },
    })
  }
})

test('the shuffled referral leads to the same findings', async () => {
  const parts = referralParts({ key: 'shuffled' })
  const backwards: Parts = new Map([...parts].toReversed())

  const answer = await post(bundleOf(backwards))

  expect(answer.status).toBe(200)
  expect(entries(answer).map(({ fullUrl }) => fullUrl?.split('/').at(-2))).toEqual(
    [...backwards.values()].map((part) => part.resource['resourceType']),
  )
  const task = await service.send(partner, { url: `/fhir/${keptAs(answer, backwards, 'task')}` })
  expect(resource(task)).toMatchObject({ status: 'received', priority: 'routine' })
})

test('what names a version of an entry names the version that came of it', async () => {
  const before = { resourceType: 'Organization', name: 'Before (invented)' }
  const { id } = resource(await post(before, {}, '/fhir/Organization'))
  const place = `Organization/${String(id)}`
  const [made, updated] = [urn('versioned-new'), urn('versioned-old')]
  const entry = (fullUrl: string | undefined, resource: Json, request: Json) => ({
    ...(fullUrl === undefined ? {} : { fullUrl }),
    resource,
    request,
  })
  const create = { method: 'POST', url: 'Organization' }
  const under = (reference: string) => ({
    ...before,
    partOf: { reference: `${reference}/_history/7` },
  })

  const answer = await post({
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      entry(made, before, create),
      entry(updated, { ...before, id }, { method: 'PUT', url: place }),
      entry(undefined, under(made), create),
      entry(undefined, under(updated), create),
    ],
  })
  const locations = entries(answer).map(({ response }) => response?.location ?? '')
  const read = async (location = '') =>
    resource(await service.send(partner, { url: location.replace(BASE, '/fhir') }))

  expect(await read(locations[2])).toMatchObject({
    partOf: { reference: locations[0]?.replace(`${BASE}/`, '') },
  })
  expect(await read(locations[3])).toMatchObject({
    partOf: { reference: `${place}/_history/2` },
  })
})

test('the Task of a referral may name its child with a version', async () => {
  const parts = changed(smallReferral({ key: 'versioned-child' }), 'task', {
    for: { reference: `${urn('patient')}/_history/1` },
  })

  expect((await post(bundleOf(parts))).status).toBe(200)
})

test('full URLs are replaced in references, URIs and narrative links, never in canonicals', async () => {
  const key = 'links'
  const parts = changed(
    withPart(smallReferral({ key }), 'document', {
      resourceType: 'DocumentReference',
      status: 'current',
      text: {
        status: 'generated',
        div: `<div xmlns="http://www.w3.org/1999/xhtml"><a href="${urn('patient')}">child</a> ${urn('patient')} <img src="${urn('task')}" alt="x"/></div>`,
      },
      subject: { reference: urn('patient'), display: urn('patient') },
      content: [{ attachment: { url: urn('referral') } }],
      extension: [
        { url: 'https://practice.example/a', valueUri: urn('patient') },
        { url: 'https://practice.example/b', valueCanonical: urn('patient') },
        { url: 'https://practice.example/c', valueString: urn('patient') },
      ],
    }),
    'referral',
    { instantiatesUri: [urn('patient')], instantiatesCanonical: [urn('patient')] },
  )

  const answer = await post(bundleOf(parts))

  expect(answer.status).toBe(200)
  const [patient, task, referral] = ['patient', 'task', 'referral'].map((name) =>
    keptAs(answer, parts, name),
  )
  const read = await service.send(partner, { url: `/fhir/${keptAs(answer, parts, 'document')}` })
  expect(resource(read)).toMatchObject({
    text: {
      div: `<div xmlns="http://www.w3.org/1999/xhtml"><a href="${patient}">child</a> ${urn('patient')} <img src="${task}" alt="x"/></div>`,
    },
    subject: { reference: patient, display: urn('patient') },
    content: [{ attachment: { url: referral } }],
    extension: [
      { valueUri: patient },
      { valueCanonical: urn('patient') },
      { valueString: urn('patient') },
    ],
  })
  const request = await service.send(partner, { url: `/fhir/${referral}` })
  expect(resource(request)).toMatchObject({
    instantiatesUri: [patient],
    instantiatesCanonical: [urn('patient')],
  })
})

test('a fault in the last entry leaves nothing', async () => {
  const answer = await refused('last', (parts) =>
    withPart(parts, 'wrong', { ...observed('walking-alone', '2026-03-01', {}), status: 'final' }),
  )

  expect(answer.status).toBe(422)
  expect(expressions(answer)).toEqual(['Bundle.entry[5].resource.valueBoolean'])
})

test('every fault of the profile is named, in every entry', async () => {
  const answer = await refused('profile', (parts) =>
    withPart(
      changed(
        changed(changed(parts, 'patient', { birthDate: '2024' }), 'referral', {
          status: 'on-hold',
        }),
        'muscle-tone',
        { valueCodeableConcept: { text: 'floppy' } },
      ),
      'length',
      { ...observed('foot-length', '2026', quantity(138, 'deg')) },
    ),
  )

  expect(answer.status).toBe(422)
  expect(expressions(answer)).toEqual([
    'Bundle.entry[0].resource.birthDate',
    'Bundle.entry[1].resource.status',
    'Bundle.entry[4].resource.valueCodeableConcept',
    'Bundle.entry[5].resource.effectiveDateTime',
    'Bundle.entry[5].resource.bodySite',
    'Bundle.entry[5].resource.valueQuantity.code',
  ])
})

test('every fault against R4 is named, in every entry, as 400', async () => {
  const answer = await refused('broken', (parts) =>
    changed(changed(parts, 'patient', { gender: 'unsure', birthDate: '2024-02-30' }), 'task', {
      intent: undefined,
      notAnElement: 1,
    }),
  )

  expect(answer.status).toBe(400)
  expect(expressions(answer).toSorted()).toEqual([
    'Bundle.entry[0].resource.birthDate',
    'Bundle.entry[0].resource.gender',
    'Bundle.entry[2].resource.intent',
    'Bundle.entry[2].resource.notAnElement',
  ])
  expect(answer.text).not.toContain('2024-02-30')
})

test.each<[string, unknown, string]>([
  ['text that is not JSON', '{"resourceType":"Bundle"', 'json.syntax'],
  ['nothing', '', 'json.syntax'],
  [
    'a property twice',
    '{"resourceType":"Bundle","type":"batch","type":"transaction"}',
    'json.duplicate',
  ],
  ['bytes that are not UTF-8', Buffer.from([0x7b, 0x22, 0xff, 0x22, 0x7d]), 'json.encoding'],
  ['another resource', { resourceType: 'Patient' }, 'bundle'],
  ['a list', [], 'bundle'],
])('%s is refused with 400', async (_title, body, rule) => {
  const answer = await post(body)

  expect(answer.status).toBe(400)
  expect(issues(answer)[0]?.details.coding?.[0]?.code).toBe(rule)
  expect(answer.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
})

test('a Bundle that asks for nothing is refused', async () => {
  const collection = await post({ resourceType: 'Bundle', type: 'collection' })

  expect([collection.status, expressions(collection)]).toEqual([422, ['Bundle.type']])
})

test('an empty transaction has an empty answer', async () => {
  const answer = await post({ resourceType: 'Bundle', type: 'transaction' })

  expect(answer.status).toBe(200)
  expect(answer.json).toEqual({ resourceType: 'Bundle', type: 'transaction-response' })
})

test.each<[string, (parts: Parts) => Parts, string]>([
  [
    'to an entry that is not there',
    (parts) => without(parts, 'patient'),
    'Bundle.entry[0].resource.subject.reference',
  ],
  [
    'to a resource that is not kept here',
    (parts) => changed(parts, 'task', { focus: { reference: 'ServiceRequest/nowhere' } }),
    'Bundle.entry[2].resource.focus.reference',
  ],
  [
    'by a condition',
    (parts) => changed(parts, 'task', { for: { reference: 'Patient?identifier=a|b' } }),
    'Bundle.entry[2].resource.for.reference',
  ],
  [
    'below our own base to nothing',
    (parts) => changed(parts, 'task', { for: { reference: `${BASE}/Patient/nobody` } }),
    'Bundle.entry[2].resource.for.reference',
  ],
])('a reference %s is refused by its path', async (title, change, expected) => {
  const answer = await refused(`ref-${title.length}`, change)

  expect(answer.status).toBe(422)
  expect(expressions(answer)).toContain(expected)
  expect(issues(answer)[0]?.code).toBe('not-found')
})

test('two entries with the same condition are refused', async () => {
  const answer = await refused('twice', (parts) => {
    const patient = parts.get('patient')
    return patient === undefined
      ? parts
      : new Map([...parts, ['again', { ...patient, fullUrl: urn('again') }]])
  })

  expect(answer.status).toBe(422)
  expect(expressions(answer)).toEqual(['Bundle.entry[5]'])
})

test('/fhir and /fhir/ both take a transaction', async () => {
  expect((await post(bundleOf(smallReferral({ key: 'slash' })), {}, '/fhir/')).status).toBe(200)
  expect((await post(bundleOf(smallReferral({ key: 'plain' })), {}, '/fhir')).status).toBe(200)
})

test('digits, primitive extensions and unknown extensions survive the database', async () => {
  const sent =
    '"valueQuantity":{"value":138.0,"unit":"mm","system":"http://unitsofmeasure.org","code":"mm"}'
  const extensions =
    '"extension":[{"url":"https://practice.example/x","valueDecimal":1.00E-2},{"url":"https://practice.example/y","extension":[{"url":"z","valueDecimal":100000000000000000000.10}]}]'
  const twin =
    '"_effectiveDateTime":{"id":"t1","extension":[{"url":"https://practice.example/p","valueString":"kept \\"as\\" it is"}]}'
  const parts = smallReferral({ key: 'digits' })
  const length = observed('foot-length', '2026-03-01', {
    bodySite: {
      coding: [{ system: 'https://footing.example/fhir/CodeSystem/side', code: 'left-foot' }],
    },
    meta: { versionId: '77', lastUpdated: '2001-01-01T00:00:00Z', tag: [{ code: 'mine' }] },
    id: 'mine',
  })
  const body = JSON.stringify(bundleOf(withPart(parts, 'length', length))).replace(
    '"effectiveDateTime":"2026-03-01","bodySite"',
    `"effectiveDateTime":"2026-03-01",${twin},${extensions},${sent},"bodySite"`,
  )

  const answer = await post(body)
  const read = await service.send(partner, { url: `/fhir/${kept(answer).at(-1)}` })

  expect(answer.status).toBe(200)
  for (const text of [sent, extensions, twin]) expect(read.text).toContain(text)
  expect(resource(read)).toMatchObject({
    id: kept(answer).at(-1)?.split('/')[1],
    meta: { versionId: '1', tag: [{ code: 'mine' }] },
  })
})

test('Prefer: return=representation brings the resources as they are kept', async () => {
  const answer = await post(bundleOf(smallReferral({ key: 'prefer' })), {
    prefer: 'return=representation',
  })

  const [patient] = entries(answer)
  const read = await service.send(partner, { url: `/fhir/${kept(answer)[0]}` })
  expect(patient?.resource).toEqual(resource(read))
})

test('what is sent again on another day adds no finding when no fact is new', async () => {
  const parts = smallReferral({ key: 'unread' })
  await post(bundleOf(parts))
  const document: Json = {
    resourceType: 'DocumentReference',
    status: 'current',
    subject: { reference: urn('patient') },
    content: [{ attachment: { title: 'unread-' } }],
  }

  const again = await post(bundleOf(withPart(parts, 'document', document)))

  expect(again.status).toBe(200)
  expect(entries(again).map(({ response }) => response?.status)).toEqual([
    ...Array<string>(5).fill('200 OK'),
    '201 Created',
  ])
})

test.each([
  ['Patient/7', 400],
  ['urn:uuid:patient-7', 400],
  ['https://practice.example/fhir/Patient/8', 422],
])(
  'an entry with the full URL %s is refused at its place (R4 2.36.4.1): %i',
  async (fullUrl, status) => {
    const answer = await post({
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [
        {
          fullUrl,
          resource: {
            resourceType: 'Patient',
            id: '7',
            identifier: [{ system: 'urn:example:invented', value: 'full-url' }],
            birthDate: '2024-05-17',
          },
          request: { method: 'POST', url: 'Patient' },
        },
      ],
    })

    expect(answer.status).toBe(status)
    expect(expressions(answer)).toEqual(['Bundle.entry[0].fullUrl'])
  },
)
