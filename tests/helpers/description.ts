import { readFileSync } from 'node:fs'
import { z } from 'zod'

// The committed interface description, read: each operation with its parameters, wherever they are said.

const Form = z.looseObject({
  type: z.string().optional(),
  format: z.string().optional(),
  enum: z.array(z.string()).optional(),
  items: z.looseObject({ enum: z.array(z.string()).optional() }).optional(),
})
const Parameter = z.looseObject({
  name: z.string(),
  in: z.string(),
  required: z.boolean().optional(),
  schema: Form,
})
const Reference = z.strictObject({ $ref: z.string() })
const Body = z.looseObject({ content: z.record(z.string(), z.unknown()) })
const WithHeaders = z.looseObject({ headers: z.record(z.string(), z.unknown()).optional() })
const Operation = z.looseObject({
  tags: z.array(z.string()),
  operationId: z.string().optional(),
  security: z.array(z.unknown()).optional(),
  parameters: z.array(z.union([Reference, Parameter])),
  requestBody: Body.optional(),
  responses: z.record(z.string(), z.union([z.strictObject({ $ref: z.string() }), WithHeaders])),
})
const Document = z.looseObject({
  components: z.looseObject({
    parameters: z.record(z.string(), Parameter),
    responses: z.record(z.string(), WithHeaders),
    headers: z.record(z.string(), z.unknown()),
  }),
  paths: z.record(z.string(), z.record(z.string(), Operation)),
})

export type DescribedParameter = z.infer<typeof Parameter>

export interface DescribedOperation {
  /** `GET /fhir/{type}` */
  readonly name: string
  readonly method: string
  readonly path: string
  readonly tags: readonly string[]
  readonly isOpen: boolean
  readonly parameters: readonly DescribedParameter[]
  readonly query: readonly DescribedParameter[]
  /** Media types of the body; none where no body is read. */
  readonly bodies: readonly string[]
  readonly statuses: readonly number[]
  /** The headers of an answer, by its status, in small letters. */
  readonly headers: Readonly<Record<number, readonly string[]>>
}

export const COMMITTED = new URL('../../openapi/openapi.json', import.meta.url)

export function describedOperations(): DescribedOperation[] {
  const { components, paths } = Document.parse(JSON.parse(readFileSync(COMMITTED, 'utf8')))
  const resolved = (one: z.infer<typeof Reference> | DescribedParameter): DescribedParameter =>
    Parameter.parse('$ref' in one ? components.parameters[keyIn(String(one['$ref']))] : one)
  return Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]): DescribedOperation => {
      const parameters = operation.parameters.map(resolved)
      return {
        name: `${method.toUpperCase()} ${path}`,
        method: method.toUpperCase(),
        path,
        tags: operation.tags,
        isOpen: operation.security === undefined,
        parameters,
        query: parameters.filter((one) => one.in === 'query'),
        bodies: Object.keys(operation.requestBody?.content ?? {}),
        statuses: Object.keys(operation.responses).map(Number),
        headers: Object.fromEntries(
          Object.entries(operation.responses).map(([status, response]) => [
            Number(status),
            headersIn(
              '$ref' in response
                ? components.responses[String(response['$ref']).split('/').at(-1) ?? '']
                : response,
            ),
          ]),
        ),
      }
    }),
  )
}

const headersIn = (response: z.infer<typeof WithHeaders> | undefined): string[] =>
  Object.keys(response?.headers ?? {}).map((name) => name.toLowerCase())

/** Every header of an answer that is described anywhere, in small letters. */
export const describedHeaders = (): string[] =>
  Object.keys(Document.parse(JSON.parse(readFileSync(COMMITTED, 'utf8'))).components.headers).map(
    (name) => name.toLowerCase(),
  )

const keyIn = (reference: string): string => reference.replace('#/components/parameters/', '')
