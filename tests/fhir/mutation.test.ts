import * as fc from 'fast-check'
import { expect, test } from 'vitest'

import { validateResource } from '../../src/fhir/validate.ts'
import { ownExamples } from '../helpers/own-examples.ts'
import { officialExamples, validCases } from '../helpers/r4-cases.ts'

type Step = string | number
interface Place {
  readonly source: number
  readonly path: readonly Step[]
  readonly value: unknown
}

const sources = [
  ...validCases().map(({ resource }) => JSON.stringify(resource)),
  ...officialExamples()
    .filter(({ name, text }) => name !== 'Basic-referral.json' && text.length < 12_000)
    .map(({ text }) => text),
  ...ownExamples().map(({ text }) => text),
]

/** Every value of every resource. Twins are left out: what is right there depends on both. */
function placesIn(source: number, value: unknown, path: readonly Step[] = []): Place[] {
  if (typeof value !== 'object' || value === null) return [{ source, path, value }]
  const below = Object.entries(value).flatMap(([key, member]) =>
    key.startsWith('_') || `_${key}` in value || key === 'resourceType'
      ? []
      : placesIn(source, member, [...path, Array.isArray(value) ? Number(key) : key]),
  )
  return [{ source, path, value }, ...below]
}

const places = sources.flatMap((text, source) => placesIn(source, JSON.parse(text)))
const isObject = ({ value }: Place) =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
const isList = ({ value }: Place) => Array.isArray(value)
const isLeaf = ({ value }: Place) => typeof value !== 'object' && value !== null
const isMember = ({ path }: Place) => typeof path.at(-1) === 'string'

/** The resource with the value at one place replaced. */
function changed({ source, path }: Place, value: unknown): { root: string; resource: unknown } {
  const resource: unknown = JSON.parse(sources[source] ?? '')
  const root = String(Reflect.get(Object(resource), 'resourceType'))
  const holder = path
    .slice(0, -1)
    .reduce<unknown>((at, step) => Reflect.get(Object(at), step), resource)
  if (path.length === 0) return { root, resource: value }
  Reflect.set(Object(holder), path.at(-1) ?? '', value)
  return { root, resource }
}

/** `valueQuantity` is `value` in an expression, so a step may be the beginning of the name. */
function pathPattern(root: string, path: readonly Step[]): RegExp {
  const steps = path.map((step) => {
    if (typeof step === 'number') return `\\[${step}\\]`
    return `\\.(?:${step}|${step.replace(/^([a-z]+(?:[A-Z][a-z]+)?)[A-Z].*$/, '$1')}|${step.replace(/^([a-z]+)[A-Z].*$/, '$1')})`
  })
  return new RegExp(`^${root}${steps.join('')}$`)
}

interface Mutation {
  readonly name: string
  readonly at: (place: Place) => boolean
  readonly change: (value: unknown) => unknown
  readonly rule: RegExp
  readonly below?: string
}

const MUTATIONS: readonly Mutation[] = [
  {
    name: 'an unknown element',
    at: isObject,
    change: (value) => ({ ...Object(value), notAnElement: 1 }) as unknown,
    rule: /^unknown-element$/,
    below: 'notAnElement',
  },
  { name: 'null', at: isMember, change: () => null, rule: /^null$/ },
  { name: 'an empty object', at: isObject, change: () => ({}), rule: /^(?:empty|resource-type)$/ },
  { name: 'an empty list', at: isList, change: () => [], rule: /^empty$/ },
  {
    name: 'an empty text',
    at: (place) => typeof place.value === 'string',
    change: () => '',
    rule: /^empty$/,
  },
  {
    name: 'the first item in place of its list',
    at: isList,
    change: (value) => (Array.isArray(value) ? (value[0] as unknown) : value),
    rule: /^cardinality$/,
  },
  {
    name: 'a list in place of one value',
    at: (place) => isMember(place) && !isList(place),
    change: (value) => [value],
    rule: /^(?:cardinality|type)$/,
  },
  {
    name: 'a value of another JSON type',
    at: isLeaf,
    change: (value) => (typeof value === 'string' ? 12.5 : 'x'),
    rule: /^primitive\./,
  },
  {
    name: 'a text with a control character',
    at: (place) => typeof place.value === 'string',
    change: (value) => `${String(value)}\u0001`,
    rule: /^(?:primitive\.\w+|code|txt-1)$/,
  },
]

for (const { name, at, change, rule, below } of MUTATIONS) {
  test(`${name} is refused at its place, wherever it stands`, () => {
    const candidates = places.filter((place) => place.path.length > 0 && at(place))

    fc.assert(
      fc.property(fc.constantFrom(...candidates), (place) => {
        const { root, resource } = changed(place, change(place.value))
        const path = below === undefined ? place.path : [...place.path, below]
        const expected = pathPattern(root, path)

        const found = validateResource(resource).filter(
          (fault) =>
            rule.test(fault.rule) && expected.test(fault.expression.replace(/\.resourceType$/, '')),
        )

        expect(found).not.toEqual([])
      }),
      { numRuns: 400 },
    )
  })
}
