import { isDecimal, writeJson } from './decimal.ts'
import { parseText } from './json-body.ts'
import { subsetShape, type SubsetElement } from './subset-shape.ts'

export type Summary = 'true' | 'text' | 'data' | 'false'

/** What a caller wants of a resource; nothing given is all of it. */
export interface Subset {
  readonly summary?: Summary
  /** Names of elements at the root. */
  readonly elements?: readonly string[]
}

type JsonObject = Readonly<Record<string, unknown>>

const SUBSETTED = {
  system: 'http://terminology.hl7.org/CodeSystem/v3-ObservationValue',
  code: 'SUBSETTED',
  display: 'Resource encoded in summary mode',
}

/** Kept by every subset. A modifier extension may turn the meaning of all the rest. */
const ALWAYS = new Set(['resourceType', 'id', 'meta', 'implicitRules', 'modifierExtension'])

/**
 * The part of a stored resource that was asked for, tagged as a part. What must be in a resource of its type
 * stays in every subset; decimals keep their digits.
 *
 * @param body the JSON text of a resource, as it is stored
 * @returns the same text where all of it is asked for
 */
export function subset(body: string, asked: Subset): string {
  if (isWhole(asked)) return body
  const parsed = parseText(body)
  if (!parsed.ok || !isObject(parsed.value)) throw new Error('A stored resource cannot be read')
  const { resourceType } = parsed.value
  if (typeof resourceType !== 'string') throw new Error('A stored resource has no type')
  return writeJson(tagged(kept(parsed.value, resourceType, asked)))
}

const isWhole = ({ summary = 'false', elements }: Subset): boolean =>
  summary === 'false' && elements === undefined

function kept(resource: JsonObject, type: string, { summary, elements }: Subset): JsonObject {
  if (elements !== undefined)
    return filtered(resource, type, ({ name, base }, property) =>
      [name, base, property].some((known) => elements.includes(known)),
    )
  if (summary === 'text') return filtered(resource, type, ({ name }) => name === 'text')
  if (summary === 'data') return filtered(resource, type, ({ name }) => name !== 'text')
  const inSummary = filtered(resource, type, ({ summary: flagged }) => flagged)
  return Object.fromEntries(
    Object.entries(inSummary).map(([property, value]) => [
      property,
      summarised(value, subsetShape(type).get(property)),
    ]),
  )
}

/** The properties at the root that are wanted, that must be there, or that every subset keeps. */
function filtered(
  resource: JsonObject,
  type: string,
  wanted: (element: SubsetElement, property: string) => boolean,
): JsonObject {
  const shape = subsetShape(type)
  return Object.fromEntries(
    Object.entries(resource).filter(([property]) => {
      const name = property.replace(/^_/, '')
      if (ALWAYS.has(name)) return true
      const element = shape.get(name)
      return element !== undefined && (element.required || wanted(element, name))
    }),
  )
}

/** Of a data type or a nested part what stands in its summary; with all that it says about itself. */
function summarised(value: unknown, element: SubsetElement | undefined): unknown {
  if (element === undefined) return value
  if (Array.isArray(value)) return value.map((item: unknown) => summarised(item, element))
  if (!isObject(value)) return value
  const shape = subsetShape(element.type)
  const entries = Object.entries(value).flatMap(([property, nested]) => {
    const inner = shape.get(property.replace(/^_/, ''))
    if (inner !== undefined && !inner.summary && !inner.required) return []
    return [[property, summarised(nested, property.startsWith('_') ? undefined : inner)] as const]
  })
  // FHIR knows no empty object: what would be left empty stays whole.
  return entries.length === 0 ? value : Object.fromEntries(entries)
}

function tagged(resource: JsonObject): JsonObject {
  const meta = isObject(resource['meta']) ? resource['meta'] : {}
  const before: readonly unknown[] = Array.isArray(meta['tag']) ? meta['tag'] : []
  const others = before.filter((tag) => !(isObject(tag) && tag['code'] === SUBSETTED.code))
  return { ...resource, meta: { ...meta, tag: [...others, SUBSETTED] } }
}

const isObject = (value: unknown): value is JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value) && !isDecimal(value)
