import { z } from 'zod'
import type { AnswerHeaders } from './described-answers.ts'
import type { AskedParameter, ValueForm } from '../fhir/asked-parameter.ts'

/** A body that a route reads. */
export interface DescribedBody {
  readonly description: string
  readonly required: boolean
  /** A schema by media type. */
  readonly content: Readonly<Record<string, DescribedContent>>
}

export interface DescribedContent {
  readonly schema: object
  /** How the values of a form are written. */
  readonly encoding?: object
}

/**
 * What a route reads of a request, for the interface description alone. Nothing is checked by it: an unknown
 * parameter, or one that is repeated, is for the code that reads it.
 */
export interface Described {
  readonly query?: readonly AskedParameter[]
  readonly headers?: readonly AskedParameter[]
  readonly body?: DescribedBody
  /** The headers of its answers, by status. */
  readonly answers?: AnswerHeaders
}

declare module 'fastify' {
  interface FastifySchema {
    described?: Described
    /** By this the operation that is made of a route is found again. */
    'x-described'?: string
  }
}

/** A parameter in the words of OpenAPI 3.1 (4.8.12). */
export interface ParameterObject {
  readonly name: string
  readonly in: string
  readonly description: string
  readonly required?: boolean
  readonly schema: object
  readonly style?: 'form'
  readonly explode?: boolean
  readonly example?: object
}

export const parameterObject = (
  { name, description, required, value, several }: AskedParameter,
  place: 'query' | 'header',
): ParameterObject => ({
  name,
  in: place,
  description,
  ...(required === undefined ? {} : { required }),
  schema: schemaOf(value, several),
  ...(several === undefined ? {} : { style: 'form', explode: several !== 'commas' }),
  // Whoever tries a request on the page sends what the example says.
  ...(several === 'named' ? { example: {} } : {}),
})

function schemaOf(value: ValueForm, several: AskedParameter['several']): object {
  if (several === undefined) return value
  return several === 'named'
    ? { type: 'object', additionalProperties: value }
    : { type: 'array', items: value }
}

/** A body that is JSON of a schema, which the code behind the route checks. */
export const jsonBody = (description: string, schema: z.ZodType): DescribedBody => {
  const { $schema: _, ...content } = z.toJSONSchema(schema, { io: 'input' })
  return { description, required: true, content: { 'application/json': { schema: content } } }
}

/** The same parameters in a form. */
export function formContent(parameters: readonly AskedParameter[]): DescribedContent {
  const named = parameters.filter(({ several }) => several === 'named')
  const single = parameters.filter(({ several }) => several !== 'named')
  const required = single.filter((one) => one.required === true).map(({ name }) => name)
  const lists = single.filter(({ several }) => several === 'commas')
  return {
    schema: {
      type: 'object',
      properties: Object.fromEntries(
        single.map(({ name, description, value, several }) => [
          name,
          { ...schemaOf(value, several), description },
        ]),
      ),
      ...(required.length === 0 ? {} : { required }),
      ...(named.length === 0
        ? {}
        : {
            additionalProperties: {
              type: 'string',
              description: named.map(({ description }) => description).join(' '),
            },
          }),
    },
    ...(lists.length === 0
      ? {}
      : {
          encoding: Object.fromEntries(
            lists.map(({ name }) => [name, { style: 'form', explode: false }]),
          ),
        }),
  }
}
