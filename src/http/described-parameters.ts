import { type AskedParameter } from '../fhir/asked-parameter.ts'
import { type Described, type ParameterObject, parameterObject } from './described.ts'
import { headerName } from './schema-faults.ts'

/** A parameter as OpenAPI has it, made of a schema or of what is described beside it. */
export type Parameter = object & { readonly name?: string; readonly in?: string }

/**
 * The parameters of an operation: those that are checked by a schema, and those that are only described. What is
 * described says more of one that is both.
 */
export function parametersOf(
  checked: readonly Parameter[],
  { query = [], headers = [] }: Described,
  isInBodyToo: boolean,
): readonly Parameter[] {
  const described = [
    ...query.map((one) => parameterObject(isInBodyToo ? notNeeded(one) : one, 'query')),
    ...headers.map((one) => parameterObject(one, 'header')),
  ]
  const known = new Set(described.map(placeOf))
  return [...checked.map(named).filter((one) => !known.has(placeOf(one))), ...described]
}

function notNeeded({ required: _, ...asked }: AskedParameter): AskedParameter {
  return asked
}

const placeOf = ({ in: place = '', name = '' }: Parameter): string =>
  `${place} ${name.toLowerCase()}`

/** A schema has the names of headers as Node reads them. */
const named = (one: Parameter): Parameter =>
  one.in === 'header' ? { ...one, name: headerName(one.name ?? '') } : one

/** More than so many operations that take the same parameter refer to one description of it. */
const SAID_AGAIN = 2

/** Parameters that several operations take alike, by the key under which each is said once. */
export class SharedParameters {
  readonly #uses = new Map<string, number>()
  readonly #keys = new Map<string, string>()
  readonly components: Record<string, ParameterObject> = {}

  /** Hears of every parameter first. */
  count(parameters: readonly Parameter[]): void {
    for (const one of parameters.filter(isAsked)) {
      const text = JSON.stringify(one)
      const uses = (this.#uses.get(text) ?? 0) + 1
      this.#uses.set(text, uses)
      if (uses > SAID_AGAIN && !this.#keys.has(text)) this.#share(one, text)
    }
  }

  #share(one: ParameterObject, text: string): void {
    const alike = Object.values(this.components).filter((other) => placeOf(other) === placeOf(one))
    const key = [one.in, one.name, ...(alike.length === 0 ? [] : [alike.length + 1])].join('.')
    this.#keys.set(text, key)
    this.components[key] = one
  }

  /** Parameters with those that are said once by a reference. */
  referred(parameters: readonly Parameter[]): readonly object[] {
    return parameters.map((one) => {
      const key = this.#keys.get(JSON.stringify(one))
      return key === undefined ? one : { $ref: `#/components/parameters/${key}` }
    })
  }
}
const isAsked = (one: Parameter): one is ParameterObject =>
  'description' in one && (one.in === 'query' || one.in === 'header')
