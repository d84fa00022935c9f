import { IncomingMessage, ServerResponse } from 'node:http'
import { Socket } from 'node:net'
import smart from 'fhirclient'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { type BulkAnswer, exported, linesOf } from '../helpers/bulk-export.ts'
import { listeningFor } from '../helpers/listening.ts'
import { coded, identifierOf } from '../helpers/referral.ts'

// fhirclient is written by nobody here and speaks FHIR R4 over HTTP as an app of SMART App Launch does.

type Client = ReturnType<typeof smart.client>
let client: Client

beforeAll(async () => {
  const { base, token, close } = await listeningFor('staff')
  // The library expects to stand behind a page; of the request for the page it needs nothing.
  const request = new IncomingMessage(new Socket())
  client = smart(request, new ServerResponse(request), STORAGE).client({
    serverUrl: base,
    tokenResponse: { access_token: token },
  })
  return close
})

const STORAGE = { get: async () => undefined, set: async () => undefined, unset: async () => true }

const Kept = z.looseObject({
  resourceType: z.string(),
  id: z.string(),
  meta: z.looseObject({ versionId: z.string() }),
})
const Bundle = z.object({
  type: z.string(),
  entry: z.array(
    z.object({
      resource: Kept.optional(),
      request: z.object({ method: z.string() }).optional(),
      response: z.object({ status: z.string(), location: z.string().optional() }).optional(),
    }),
  ),
})
const bundle = async (url: string) => Bundle.parse(await client.request(url))

const practice = (name: string) => ({ resourceType: 'Organization', name: `${name} (invented)` })
const create = async (resource: { resourceType: string; [name: string]: unknown }) =>
  Kept.parse(await client.create(resource))

test('it creates, and finds what it created', async () => {
  const made = await create(practice('Lindenhof practice'))
  const found = await bundle('Organization?name=lindenhof')

  expect(made.meta.versionId).toBe('1')
  expect(found.type).toBe('searchset')
  expect(found.entry.map(({ resource }) => resource)).toEqual([made])
})

test('it follows the pages of a search to their end, each resource once', async () => {
  const made: string[] = []
  for (const number of [1, 2, 3, 4, 5])
    made.push((await create(practice(`Paged practice ${number}`))).id)

  const pages: number[] = []
  const seen: string[] = []
  for await (const page of client.pages('Organization?name=paged&_count=2')) {
    const { entry } = Bundle.parse(page)
    pages.push(entry.length)
    seen.push(...entry.flatMap(({ resource }) => resource?.id ?? []))
  }

  expect(pages).toEqual([2, 2, 1])
  expect(seen.toSorted()).toEqual(made.toSorted())
})

test('it is told that somebody else was first', async () => {
  const { id } = await create(practice('Contested practice'))
  const options = { headers: { 'if-match': 'W/"1"' } }
  const second = await client.update({ ...practice('Renamed practice'), id }, options)
  const late = client.update({ ...practice('Late practice'), id }, options)

  expect(second).toMatchObject({ meta: { versionId: '2' } })
  await expect(late).rejects.toMatchObject({ status: 412 })
  expect(await client.request(`Organization/${id}`)).toMatchObject({
    name: 'Renamed practice (invented)',
  })
})

test('it sends a transaction, and resolves the reference in what came of it', async () => {
  const fullUrl = 'urn:uuid:6d1f8c5e-0c1c-4b3e-9f1e-6f7a4c1d2b3a'
  const answer: unknown = await client.request({
    url: '/',
    method: 'POST',
    headers: { 'content-type': 'application/fhir+json' },
    body: JSON.stringify({
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [
        {
          resource: { ...concern, subject: { reference: fullUrl } },
          request: { method: 'POST', url: 'Observation' },
        },
        { fullUrl, resource: child, request: { method: 'POST', url: 'Patient' } },
      ],
    }),
  })
  const { type, entry } = Bundle.parse(answer)
  const observation = new URL(entry[0]?.response?.location ?? '').pathname.split('/')[3]

  expect(type).toBe('transaction-response')
  expect(entry.map(({ response }) => response?.status.slice(0, 3))).toEqual(['201', '201'])
  expect(
    await client.request(`Observation/${observation}`, { resolveReferences: 'subject' }),
  ).toMatchObject({ subject: { resourceType: 'Patient', birthDate: '2024-02-01' } })
})

const child = {
  resourceType: 'Patient',
  identifier: [identifierOf('fhirclient', 'child')],
  name: [{ family: 'Musterkind' }],
  birthDate: '2024-02-01',
}
const concern = {
  resourceType: 'Observation',
  status: 'final',
  code: coded('observation', 'motor-concern'),
  effectiveDateTime: '2026-02-01',
  valueBoolean: true,
}

test('it reads in the history what was done, the newest first', async () => {
  const { id } = await create(practice('Short-lived practice'))
  await client.patch(`Organization/${id}`, [{ op: 'add', path: '/active', value: false }])
  await client.delete(`Organization/${id}`)

  const history = await bundle(`Organization/${id}/_history`)

  expect(history.type).toBe('history')
  expect(history.entry.map(({ request }) => request?.method)).toEqual(['DELETE', 'PUT', 'POST'])
  expect(history.entry.map(({ resource }) => resource?.meta.versionId)).toEqual([
    undefined,
    '2',
    '1',
  ])
  await expect(client.request(`Organization/${id}`)).rejects.toMatchObject({ status: 410 })
})

interface Answer {
  readonly response: Omit<BulkAnswer, 'body'>
  readonly body: unknown
}

test('it exports what it created, line by line', async () => {
  const made = await create(practice('Exported practice'))
  const { output } = await exported('$export?_type=Organization', async (url, headers = {}) => {
    const { response, body } = await client.request<Answer>({ url, headers, includeResponse: true })
    return { status: response.status, headers: response.headers, body }
  })

  const files = await Promise.all(output.map(({ url }) => client.request<Response>(url)))
  const lines = (await Promise.all(files.map((file) => file.text()))).flatMap(linesOf)

  expect(output.map(({ type }) => type)).toEqual(['Organization'])
  expect(lines.length).toBe(output[0]?.count)
  expect(lines).toContainEqual(made)
})
