import { readFileSync } from 'node:fs'
// Of Fastify itself; it brings the meta-schema of JSON Schema 2020-12, which OpenAPI 3.1 takes (4.8.24).
import { Ajv2020 } from 'ajv/dist/2020.js'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { COMMITTED } from '../helpers/description.ts'

// The committed description against OpenAPI Specification 3.1.0. Numbers in titles are its sections. Whatever is
// not one of the fixed fields of an object is refused, as the published schema of OpenAPI 3.1 refuses it.

const text = z.string().min(1)
const Schema = z.union([z.boolean(), z.record(z.string(), z.unknown())])
const Reference = z.strictObject({ $ref: z.string().startsWith('#/components/') })
const Media = z.strictObject({
  schema: Schema.optional(),
  encoding: z
    .record(z.string(), z.strictObject({ style: z.literal('form'), explode: z.boolean() }))
    .optional(),
})
const Content = z.record(z.string().regex(/^[\w*]+\/[\w*.+-]+$/), Media)
const Parameter = z
  .strictObject({
    name: text,
    in: z.enum(['query', 'header', 'path', 'cookie']),
    description: text.optional(),
    required: z.boolean().optional(),
    schema: Schema,
    style: z.literal('form').optional(),
    explode: z.boolean().optional(),
    example: z.unknown().optional(),
  })
  .refine(({ in: place, required }) => place !== 'path' || required === true)
  .refine(({ in: place, style }) => style === undefined || place === 'query')
  .refine(
    ({ in: place, name }) =>
      place !== 'header' ||
      !['accept', 'authorization', 'content-type'].includes(name.toLowerCase()),
  )
const Response = z.strictObject({
  description: z.string(),
  headers: z.record(text, Reference).optional(),
  content: Content.optional(),
})
const Operation = z.strictObject({
  operationId: text.optional(),
  summary: text.optional(),
  description: text.optional(),
  tags: z.array(text),
  security: z.array(z.record(z.string(), z.array(z.string()))).optional(),
  parameters: z.array(z.union([Reference, Parameter])),
  requestBody: z
    .strictObject({ description: text.optional(), required: z.boolean(), content: Content })
    .optional(),
  responses: z
    .record(z.string().regex(/^[1-5]\d\d$/), z.union([Reference, Response]))
    .refine((responses) => Object.keys(responses).length > 0),
})
const WithoutBody = Operation.omit({ requestBody: true })
const Path = z.strictObject({
  get: WithoutBody.optional(),
  head: WithoutBody.optional(),
  delete: WithoutBody.optional(),
  post: Operation.optional(),
  put: Operation.optional(),
  patch: Operation.optional(),
})
const Key = z.string().regex(/^[a-zA-Z0-9._-]+$/)
const Document = z.strictObject({
  openapi: z.literal('3.1.0'),
  info: z.strictObject({ title: text, version: text, description: text }),
  servers: z.array(z.strictObject({ url: z.url(), description: text })).min(1),
  tags: z.array(z.strictObject({ name: text, description: text })),
  components: z.strictObject({
    schemas: z.record(Key, Schema),
    responses: z.record(Key, Response),
    headers: z.record(Key, z.strictObject({ description: text, schema: Schema })),
    parameters: z.record(Key, Parameter),
    securitySchemes: z.record(
      Key,
      z.strictObject({ type: z.literal('http'), scheme: text, bearerFormat: text }),
    ),
  }),
  paths: z.record(z.string().startsWith('/'), Path),
})

const raw: unknown = JSON.parse(readFileSync(COMMITTED, 'utf8'))
const faultsOf = (document: unknown) =>
  Document.safeParse(document).error?.issues.map(({ path, message }) => [
    path.join(' '),
    message,
  ]) ?? []
const read = () => Document.parse(raw)

test('each object has the fields that OpenAPI 3.1 gives it, and no others', () => {
  expect(faultsOf(raw)).toEqual([])
})

test('a document with a body for a GET, a field that there is not or no server is refused', () => {
  const document = read()
  const search = document.paths['/fhir/{type}']?.get
  const withGet = (change: object) => ({
    ...document,
    paths: { '/fhir/{type}': { get: { ...search, ...change } } },
  })

  expect(faultsOf(withGet({}))).toEqual([])
  expect(faultsOf(withGet({ requestBody: { required: true, content: {} } }))).not.toEqual([])
  expect(faultsOf(withGet({ described: {} }))).not.toEqual([])
  expect(faultsOf({ ...document, servers: [] })).not.toEqual([])
})

type Asked = z.infer<typeof Operation>
const operations = (): [name: string, path: string, operation: Asked][] =>
  Object.entries(read().paths).flatMap(([path, methods]) =>
    Object.entries(methods).flatMap(([method, operation]): [string, string, Asked][] =>
      operation === undefined ? [] : [[`${method.toUpperCase()} ${path}`, path, operation]],
    ),
  )
const parametersOf = ({ parameters }: Asked): z.infer<typeof Parameter>[] => {
  const { components } = read()
  return parameters.map((one) =>
    '$ref' in one
      ? Parameter.parse(components.parameters[one.$ref.replace('#/components/parameters/', '')])
      : one,
  )
}

test.each(operations())(
  '%s has the parameters of its path, each parameter once (4.8.10)',
  (_, path, operation) => {
    const parameters = parametersOf(operation)
    const places = parameters.map((one) => `${one.in} ${one.name.toLowerCase()}`)
    const inPath = [...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => name)

    expect(new Set(places).size).toBe(places.length)
    expect(parameters.filter((one) => one.in === 'path').map(({ name }) => name)).toEqual(inPath)
  },
)

test('what is referred to is there, and everything that may be referred to is (4.8.23)', () => {
  const { components } = read()
  const named = new Set(
    [...JSON.stringify(raw).matchAll(/"\$ref":"#\/components\/([^"]+)"/g)].map(([, name]) => name),
  )
  const there = [
    ...Object.keys(components.responses).map((key) => `responses/${key}`),
    ...Object.keys(components.headers).map((key) => `headers/${key}`),
    ...Object.keys(components.parameters).map((key) => `parameters/${key}`),
  ]

  expect(named).toEqual(new Set(there))
})

test('tags and security schemes are those that the document declares (4.8.1, 4.8.30)', () => {
  const { tags, components } = read()
  const used = operations().map(([, , operation]) => operation)

  expect([...new Set(used.flatMap((one) => one.tags))].toSorted()).toEqual(
    tags.map(({ name }) => name).toSorted(),
  )
  expect([...new Set(used.flatMap((one) => (one.security ?? []).flatMap(Object.keys)))]).toEqual(
    Object.keys(components.securitySchemes),
  )
})

test('every schema is one of JSON Schema 2020-12 (4.8.24)', () => {
  const ajv = new Ajv2020({ strict: false })
  const isSchema = (schema: unknown) =>
    ajv.validateSchema(z.record(z.string(), z.unknown()).parse(schema)) === true
  const found = operations().flatMap(([name, , operation]) => [
    ...parametersOf(operation).map((one) => [`${name} ${one.name}`, one.schema] as const),
    ...Object.entries(operation.requestBody?.content ?? {}).map(
      ([type, { schema }]) => [`${name} ${type}`, schema ?? {}] as const,
    ),
  ])

  expect(found.length).toBeGreaterThan(200)
  expect(found.filter(([, schema]) => !isSchema(schema)).map(([name]) => name)).toEqual([])
  expect(isSchema({ type: 'text' })).toBe(false)
})
