import type { SwaggerTransform, SwaggerTransformObject } from '@fastify/swagger'
import { jsonSchemaTransform } from 'fastify-type-provider-zod'
import { ANSWER_FORM } from '../fhir/asked-parameter.ts'
import { withHeaders } from './described-answers.ts'
import type { Described } from './described.ts'
import { PURPOSE_OF_USE, REQUEST_ID } from './described-headers.ts'
import { type Parameter, parametersOf, SharedParameters } from './described-parameters.ts'
import { withRefusals } from './described-refusals.ts'

const METHODS = ['get', 'head', 'post', 'put', 'patch', 'delete'] as const
const WITH_BODY: readonly string[] = ['post', 'put', 'patch']
const KEY = 'x-described'

/** What is made of a route. */
interface Operation {
  readonly operationId?: string
  readonly summary?: string
  readonly tags?: string[]
  readonly security?: object[]
  readonly parameters?: readonly Parameter[]
  readonly requestBody?: object
  readonly responses?: Readonly<Record<string, object | undefined>>
}

interface Describing {
  readonly transform: SwaggerTransform
  readonly transformObject: SwaggerTransformObject
}

/** Makes the interface description of the schemas of routes, and of what is described beside them. */
export function describing(): Describing {
  const routes = new Map<string, Described>()
  const describedIn = (operation: object): Described =>
    (KEY in operation ? routes.get(String(operation[KEY])) : undefined) ?? {}
  return {
    transform: (input) => {
      const { schema, url } = jsonSchemaTransform(input)
      if (input.schema === undefined) return { schema, url }
      const key = `${String(input.route.method)} ${url}`
      routes.set(key, describedOf(input))
      return { schema: { ...schema, [KEY]: key }, url }
    },
    transformObject: (made) => {
      if (!('openapiObject' in made)) return made.swaggerObject
      const { openapiObject } = made
      const shared = new SharedParameters()
      dropLoneHeads(openapiObject.paths ?? {})
      const paths = Object.values(openapiObject.paths ?? {})
      const each = (change: (operation: Operation, method: string) => Operation) => {
        for (const path of paths)
          for (const method of METHODS) {
            const operation = path?.[method]
            // Routes of several methods share one operation until here.
            if (operation !== undefined)
              Object.assign(path ?? {}, { [method]: change(operation, method) })
          }
      }
      each((operation, method) => completed(operation, method, describedIn(operation)))
      each((operation) => {
        shared.count(operation.parameters ?? [])
        return operation
      })
      each((operation) => ({
        ...operation,
        parameters: shared.referred(operation.parameters ?? []),
      }))
      Object.assign(openapiObject.components ?? {}, { parameters: shared.components })
      return openapiObject
    },
  }
}

/** What a route says of itself, with what its kind of route reads. */
function describedOf({ schema, route }: Parameters<SwaggerTransform>[0]): Described {
  const { described = {}, tags = [], produces = [], security } = schema
  const [format, pretty] = ANSWER_FORM
  const isOfFhir = tags.includes('FHIR')
  return {
    ...described,
    query: [
      ...(described.query ?? []),
      ...(isOfFhir && route.config?.anyAnswer !== true ? [format] : []),
      ...(isOfFhir && produces.some((type) => /\bjson\b/.test(type)) ? [pretty] : []),
    ],
    headers: [
      ...(described.headers ?? []),
      ...(security === undefined ? [] : [PURPOSE_OF_USE]),
      REQUEST_ID,
    ],
  }
}

function completed(operation: Operation, method: string, described: Described): Operation {
  const { tags = [], parameters = [], responses = {} } = operation
  const body = described.body ?? operation.requestBody
  const hasBody = WITH_BODY.includes(method) && body !== undefined
  const isOpen = operation.security === undefined
  const answers = withRefusals(responses, { method, tags, isOpen })
  const made = {
    ...operation,
    parameters: parametersOf(parameters, described, hasBody),
    responses: withHeaders(answers, described.answers),
    ...(hasBody ? { requestBody: body } : {}),
  }
  if (!hasBody) Reflect.deleteProperty(made, 'requestBody')
  Reflect.deleteProperty(made, KEY)
  return method === 'head' ? headOf(made) : made
}

/** The base has two addresses, with a slash and without, and is described by one; HEAD came by both. */
function dropLoneHeads(paths: Record<string, object | undefined>): void {
  for (const [address, path] of Object.entries(paths))
    if (path !== undefined && Object.keys(path).join() === 'head')
      Reflect.deleteProperty(paths, address)
}

/** RFC 9110 9.3.2: what GET answers, without the content. It has no name of its own, as no two may have one. */
function headOf({
  operationId: _,
  summary = '',
  responses = {},
  ...operation
}: Operation): Operation {
  return {
    ...operation,
    summary: `${summary}: the headers alone`,
    responses: Object.fromEntries<object | undefined>(
      Object.entries(responses).map(([status, response]) => {
        if (response === undefined || !('content' in response)) return [status, response]
        const { content: _content, ...told } = response
        return [status, told]
      }),
    ),
  }
}
