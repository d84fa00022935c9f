import { setTimeout as delay } from 'node:timers/promises'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { type Listening, listeningFor } from '../helpers/listening.ts'
import { identifierOf, type Json, observed } from '../helpers/referral.ts'

// A client of Bulk Data Access (STU 2, December 2021), which knows nothing but HTTP.

const CHILDREN = 500
const FACTS_OF_EACH = 5
/** Each child with its facts is 6 resources: 3,000 in all. */
const RESOURCES = CHILDREN * (1 + FACTS_OF_EACH)
const CHILDREN_A_BUNDLE = 50

const Manifest = z.object({
  transactionTime: z.iso.datetime(),
  request: z.url(),
  requiresAccessToken: z.literal(true),
  output: z.array(z.object({ type: z.string(), url: z.url(), count: z.number() })),
  error: z.array(z.unknown()),
})
const Resource = z.looseObject({ resourceType: z.string(), id: z.string() })
const Fact = z.looseObject({ subject: z.object({ reference: z.string() }) })
const Chunk = z.object({ done: z.boolean(), value: z.instanceof(Uint8Array).optional() })
const Outcome = z.object({ resourceType: z.literal('OperationOutcome') })

let listening: Listening
interface Asked {
  readonly method?: string
  readonly body?: string
  readonly headers?: Readonly<Record<string, string>>
}
const ask = (url: string, { headers, ...more }: Asked = {}): Promise<Response> =>
  fetch(url, { ...more, headers: { authorization: `Bearer ${listening.token}`, ...headers } })

beforeAll(async () => {
  listening = await listeningFor('staff')
  for (let first = 0; first < CHILDREN; first += CHILDREN_A_BUNDLE) {
    const body = JSON.stringify(bundleFrom(first))
    const headers = { 'content-type': 'application/fhir+json' }
    const answer = await ask(listening.base, { method: 'POST', body, headers })
    if (answer.status !== 200) throw new Error(await answer.text())
  }
  return listening.close
}, 300_000)

const urnOf = (child: number, fact = 0) =>
  `urn:uuid:00000000-0000-4000-8000-${String(child * 10 + fact).padStart(12, '0')}`

function bundleFrom(first: number): object {
  const children = Array.from({ length: CHILDREN_A_BUNDLE }, (_, index) => first + index)
  const entry = children.flatMap((child) => [
    entryOf(urnOf(child), {
      resourceType: 'Patient',
      identifier: [identifierOf('bulk', String(child))],
      name: [{ family: `Musterkind-${child}` }],
      birthDate: '2024-02-01',
    }),
    ...Array.from({ length: FACTS_OF_EACH }, (_, index) =>
      entryOf(urnOf(child, index + 1), {
        ...observed('motor-concern', `2026-02-0${index + 1}`, { valueBoolean: true }),
        subject: { reference: urnOf(child) },
      }),
    ),
  ])
  return { resourceType: 'Bundle', type: 'transaction', entry }
}
const entryOf = (fullUrl: string, resource: Json) => ({
  fullUrl,
  resource,
  request: { method: 'POST', url: resource['resourceType'] },
})

const KICK_OFF = { accept: 'application/fhir+json', prefer: 'respond-async' }

async function kickedOff(path: string): Promise<string> {
  const answer = await ask(`${listening.base}/${path}`, { headers: KICK_OFF })
  expect(answer.status, await answer.text()).toBe(202)
  return z.url().parse(answer.headers.get('content-location'))
}
/** Asks again while the work goes on, as often as it is told to. */
async function finished(status: string): Promise<z.infer<typeof Manifest>> {
  for (;;) {
    const answer = await ask(status, { headers: { accept: 'application/json' } })
    if (answer.status === 200) return Manifest.parse(await answer.json())
    expect(answer.status, await answer.text()).toBeOneOf([202, 429])
    await delay(1_000 * Number(answer.headers.get('retry-after') ?? 1))
  }
}
/** Reads a file as it arrives, one resource a line. */
async function* linesOf(url: string): AsyncGenerator<z.infer<typeof Resource>> {
  const answer = await ask(url, { headers: { accept: 'application/fhir+ndjson' } })
  expect([answer.status, answer.headers.get('content-type')]).toEqual([
    200,
    'application/fhir+ndjson',
  ])
  let rest = ''
  const decoder = new TextDecoder()
  const reader = answer.body?.getReader()
  for (;;) {
    const { done, value } = Chunk.parse(await reader?.read())
    if (done) break
    const lines = (rest + decoder.decode(value, { stream: true })).split('\n')
    rest = lines.pop() ?? ''
    for (const line of lines) yield Resource.parse(JSON.parse(line))
  }
  if (rest !== '') yield Resource.parse(JSON.parse(rest))
}

test(`a bulk client fetches ${RESOURCES} resources line by line, then has them deleted`, async () => {
  const status = await kickedOff('$export?_type=Patient,Observation')
  const manifest = await finished(status)

  const seen = new Map<string, Set<string>>()
  const subjects = new Set<string>()
  for (const { type, url, count } of manifest.output) {
    const ids = new Set<string>()
    for await (const line of linesOf(url)) {
      expect(line.resourceType).toBe(type)
      ids.add(`${type}/${line.id}`)
      if (type === 'Observation') subjects.add(Fact.parse(line).subject.reference)
    }
    expect(ids.size).toBe(count)
    seen.set(type, new Set([...(seen.get(type) ?? []), ...ids]))
  }

  console.info(`${RESOURCES} resources in ${manifest.output.length} files`)
  expect(manifest.request).toBe(`${listening.base}/$export?_type=Patient,Observation`)
  expect(manifest.error).toEqual([])
  expect(seen.get('Patient')?.size).toBe(CHILDREN)
  expect(seen.get('Observation')?.size).toBe(CHILDREN * FACTS_OF_EACH)
  expect(subjects).toEqual(seen.get('Patient'))

  expect((await ask(status, { method: 'DELETE' })).status).toBe(202)
  for (const url of [status, ...manifest.output.map((file) => file.url)]) {
    const gone = await ask(url)
    expect(gone.status).toBe(404)
    Outcome.parse(await gone.json())
  }
}, 300_000)

test('nobody reads the files of an export without a token', async () => {
  const { output } = await finished(await kickedOff('$export?_type=Patient'))
  const answers = await Promise.all(output.map(({ url }) => fetch(url)))

  expect(output.length).toBeGreaterThan(0)
  for (const answer of answers) expect(answer.status).toBe(401)
})
