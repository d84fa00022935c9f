import { z } from 'zod'

import {
  CODE_LISTS,
  ELEMENT_TYPES,
  idType,
  LOOSE_MEDIA_TYPES,
  NOT_TYPES,
  UNLISTED_SYSTEMS,
} from './corrections.ts'
import type { ElementDefinition, TypeUse } from './definition.ts'

interface OfficialProperty {
  _name: string
  _type: string
  _multiple: boolean
  _required?: boolean | undefined
  _choice?: string | undefined
  _targetProfiles?: string[] | undefined
  _valueSet?: string | undefined
  _valueSetStrength?: string | undefined
  _properties?: OfficialProperty[] | undefined
}

const Property: z.ZodType<OfficialProperty> = z.object({
  _name: z.string(),
  _type: z.string(),
  _multiple: z.boolean(),
  _required: z.boolean().optional(),
  _choice: z.string().optional(),
  _targetProfiles: z.array(z.string()).optional(),
  _valueSet: z.string().optional(),
  _valueSetStrength: z.string().optional(),
  get _properties() {
    return z.array(Property).optional()
  },
})

/** The parts we read of the two npm packages that carry the official R4 definitions. */
export const OfficialSource = z.object({
  types: z.record(z.string(), z.object({ _kind: z.string(), _properties: z.array(Property) })),
  valueSets: z.record(
    z.string(),
    z.object({
      systems: z.array(
        z.object({
          uri: z.string().optional(),
          codes: z.array(z.object({ code: z.string() })),
        }),
      ),
    }),
  ),
  /** From the FHIRPath package's R4 model, which keeps the targets of nested references. */
  paths: z.record(
    z.string(),
    z.union([z.string(), z.object({ refType: z.array(z.string()).optional() })]),
  ),
})
export type OfficialSource = z.infer<typeof OfficialSource>

/** The definitions in our form: for each type and nested part its elements, and the code lists. */
export interface Model {
  readonly resources: ReadonlyMap<string, readonly ElementDefinition[]>
  readonly dataTypes: ReadonlyMap<string, readonly ElementDefinition[]>
  readonly parts: ReadonlyMap<string, readonly ElementDefinition[]>
  readonly codes: ReadonlyMap<string, readonly string[]>
  /** Code system of the lists that are bound to a CodeableConcept. */
  readonly systems: ReadonlyMap<string, string>
  /** Code systems of the lists that are bound to a code, which says none itself. */
  readonly implied: ReadonlyMap<string, readonly string[]>
}

interface Building {
  readonly source: OfficialSource
  readonly parts: Map<string, readonly ElementDefinition[]>
  readonly codes: Map<string, readonly string[]>
  readonly systems: Map<string, string>
  readonly implied: Map<string, readonly string[]>
}

export function modelOf(source: OfficialSource): Model {
  const building: Building = {
    source,
    parts: new Map(),
    codes: new Map(),
    systems: new Map(),
    implied: new Map(),
  }
  const resources = new Map<string, readonly ElementDefinition[]>()
  const dataTypes = new Map<string, readonly ElementDefinition[]>()
  for (const [name, type] of Object.entries(source.types)) {
    if (NOT_TYPES.has(name) || type._kind === 'primitive-type') continue
    const elements = elementsOf(building, name, type._properties)
    const group = type._kind === 'resource' ? resources : dataTypes
    group.set(name, elements)
  }
  return { resources, dataTypes, parts: building.parts, ...codeLists(building) }
}

function codeLists({ codes, systems, implied }: Building) {
  return { codes: byKey(codes), systems, implied: byKey(implied) }
}

const byKey = <Value>(lists: ReadonlyMap<string, Value>): ReadonlyMap<string, Value> =>
  new Map([...lists].sort(([a], [b]) => (a < b ? -1 : 1)))

function elementsOf(building: Building, path: string, properties: OfficialProperty[]) {
  const elements = new Map<string, ElementDefinition>()
  for (const property of properties) {
    if (property._name.startsWith('_')) continue
    const name =
      property._choice === undefined ? property._name : `${property._choice.replace('[x]', '')}[x]`
    const before = elements.get(name)
    const types = [...(before?.types ?? []), typeUse(building, path, property)]
    const codes = codesKey(building, `${path}.${property._name}`, property)
    elements.set(name, {
      name,
      required: property._required === true,
      many: property._multiple,
      types,
      ...(codes === undefined ? {} : { codes }),
    })
  }
  return [...elements.values()]
}

function typeUse(building: Building, path: string, property: OfficialProperty): TypeUse {
  const at = `${path}.${property._name}`
  const ofResource = building.source.types[path]?._kind === 'resource'
  if (property._name === 'id') return { code: idType(ofResource), targets: [] }
  if (property._type.startsWith('#')) return { code: property._type.slice(1), targets: [] }
  if (property._type === 'Reference') return { code: 'Reference', targets: targets(building, at) }
  const nested = property._properties ?? []
  if (nested.length > 0) {
    // Set first, so that the outer part stands before its own parts.
    building.parts.set(at, [])
    building.parts.set(at, elementsOf(building, at, nested))
    return { code: at, targets: [] }
  }
  return { code: ELEMENT_TYPES[at] ?? property._type, targets: [] }
}

function targets(building: Building, at: string): readonly string[] {
  const known = building.source.paths[at]
  const types = typeof known === 'object' ? (known.refType ?? []) : []
  return types.includes('Resource') || types.includes('Any') ? [] : types
}

function codesKey(
  building: Building,
  at: string,
  { _type: type, _valueSet: valueSet, _valueSetStrength: strength }: OfficialProperty,
): string | undefined {
  const url = valueSet?.split('|')[0] ?? ''
  // Preferred, but no code outside of all languages is taken: the binding's maxValueSet.
  if (type === 'code' && url.endsWith('/ValueSet/languages'))
    return unlisted(building, 'all-languages')
  if (strength !== 'required') return undefined
  const key = url.slice(url.lastIndexOf('/') + 1)
  const found = building.source.valueSets[url]
  if (found === undefined) return LOOSE_MEDIA_TYPES.has(at) ? undefined : unlisted(building, key)
  const listed = found.systems.flatMap((system) => system.codes.map(({ code }) => code))
  building.codes.set(key, CODE_LISTS[key] ?? [...new Set(listed)])
  const system = found.systems[0]?.uri
  if (type === 'CodeableConcept' && system !== undefined) building.systems.set(key, system)
  if (type === 'code')
    building.implied.set(
      key,
      found.systems.flatMap(({ uri }) => uri ?? []),
    )
  return key
}

/** A value set that is not in the npm copy; of a few nothing is known, and the form of a code remains. */
function unlisted({ codes, implied }: Building, key: string): string | undefined {
  const system = UNLISTED_SYSTEMS[key]
  if (system === undefined) return undefined
  const listed = CODE_LISTS[key]
  if (listed !== undefined) codes.set(key, listed)
  implied.set(key, [system])
  return key
}
