import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { interfaceDescription } from '../../src/interface-description.ts'

const COMMITTED = new URL('../../openapi/openapi.json', import.meta.url)

const Media = z.record(z.string(), z.unknown())
const Answer = z.object({ content: Media.optional() })
const Operation = z.object({
  operationId: z.string().optional(),
  security: z.array(z.unknown()).optional(),
  requestBody: z.object({ content: Media }).optional(),
  responses: z.record(z.string(), z.union([z.object({ $ref: z.string() }), Answer])),
})
const Description = z.object({
  openapi: z.string(),
  components: z.object({ responses: z.record(z.string(), Answer) }),
  paths: z.record(z.string(), z.record(z.string(), Operation)),
})

const description = Description.parse(JSON.parse(readFileSync(COMMITTED, 'utf8')))
const REFUSAL = '#/components/responses/OperationOutcome'
const answerAt = (one: { readonly $ref: string } | z.infer<typeof Answer>) => {
  if (!('$ref' in one)) return one
  expect(one.$ref).toBe(REFUSAL)
  return description.components.responses['OperationOutcome'] ?? {}
}
const operations = Object.entries(description.paths).flatMap(([path, methods]) =>
  Object.entries(methods).map(([method, operation]) => ({
    name: `${method.toUpperCase()} ${path}`,
    operation,
  })),
)
const ofFhir = operations.filter(({ name }) => name.includes(' /fhir'))

test('the committed description is what the routes say: npm run openapi', async () => {
  expect(await interfaceDescription()).toBe(readFileSync(COMMITTED, 'utf8'))
})

test('it is OpenAPI 3.1', () => {
  expect(description.openapi).toBe('3.1.0')
})

test('it holds the exchange, its operations and the health of the process', () => {
  expect(operations.map(({ name }) => name)).toEqual(
    expect.arrayContaining([
      'POST /fhir/',
      'GET /fhir/metadata',
      'GET /fhir/{type}',
      'POST /fhir/{type}',
      'POST /fhir/{type}/_search',
      'GET /fhir/{type}/{id}',
      'GET /fhir/{type}/{id}/_history/{version}',
      'POST /fhir/ServiceRequest/{id}/$triage',
      'GET /fhir/ServiceRequest/{id}/$fitting-plan',
      'GET /fhir/.well-known/smart-configuration',
      'POST /oauth/token',
      'GET /oauth/jwks',
      'GET /health/live',
      'GET /health/ready',
    ]),
  )
})

/** Answered in other forms too: a page for people, a resource a line. */
const ALSO: readonly (readonly [name: RegExp, kinds: readonly string[]])[] = [
  [/\$export-file/, ['application/fhir+ndjson']],
  [/smart-configuration/, ['application/json']],
  [/\$chart/, ['image/svg+xml']],
  [/\$documents/, ['application/pdf']],
]

test.each(ofFhir)('$name answers application/fhir+json', ({ name, operation }) => {
  const kinds = Object.values(operation.responses).flatMap((one) =>
    Object.keys(answerAt(one).content ?? {}),
  )
  const others = ALSO.find(([which]) => which.test(name))?.[1] ?? []

  expect(kinds.filter((kind) => kind !== 'text/html')).toEqual(
    kinds.filter((kind) => kind === 'application/fhir+json' || others.includes(kind)),
  )
  expect(kinds.length).toBeGreaterThan(0)
})

const PUBLISHED = REGISTRY.filter(({ published }) => published === true).map(({ type }) => type)
const isOpen = (name: string): boolean =>
  /metadata|smart-configuration/.test(name) ||
  (!name.includes('$') && PUBLISHED.some((type) => name.includes(`/fhir/${type}`)))

test.each(ofFhir.filter(({ name }) => isOpen(name)))(
  '$name is open to everybody',
  ({ operation }) => {
    expect(operation.security).toBeUndefined()
  },
)

test.each(ofFhir.filter(({ name }) => !isOpen(name)))('$name needs a token', ({ operation }) => {
  expect(operation.security).toEqual([{ bearer: [] }])
})

test('no operation has the name of another', () => {
  const names = operations.flatMap(({ operation }) => operation.operationId ?? [])

  expect(new Set(names).size).toBe(names.length)
})

// R4 3.1.0.1.9: 406 for a form that is not offered, 415 for one that is not taken; RFC 6585: 429. SMART's
// configuration is JSON whatever is asked for (SMART App Launch 2.2). Every refusal is
// an OperationOutcome in JSON, whatever else the route answers in.
test.each(ofFhir.filter(({ name }) => !name.includes('smart-configuration')))(
  '$name says what every route refuses, and in which form',
  ({ name, operation }) => {
    const { responses } = operation
    const ofBody = /^(POST|PUT|PATCH)/.test(name) ? ['413', '415'] : []
    const refusals = Object.keys(responses).filter((status) => Number(status) >= 400)

    expect(refusals).toEqual(expect.arrayContaining(['406', '429', '503', ...ofBody]))
    for (const status of refusals) expect(responses[status]).toEqual({ $ref: REFUSAL })
  },
)

test('who is next is told to staff with a token alone', () => {
  for (const method of ['get', 'post'])
    expect(Object.keys(description.paths['/fhir/Task/$next']?.[method]?.responses ?? {})).toEqual(
      expect.arrayContaining(['401', '403']),
    )
})
