import { expect, test } from 'vitest'

import { choiceName, type ElementDefinition, parseElements } from '../../src/fhir/r4/definition.ts'
import { DATA_TYPES, PARTS, RESOURCES } from '../../src/fhir/r4/definitions.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { ownExamples } from '../helpers/own-examples.ts'

// What the definitions say of an element is asked of it, in every example, wherever it stands.

type Step = string | number

/** One element of an example: where it is, and what the definitions say of it. */
interface Place {
  readonly example: string
  readonly path: readonly Step[]
  /** As in an expression: `value`, not `valueQuantity`. */
  readonly expression: string
  readonly element: ElementDefinition
  /** The type that it has here. */
  readonly code: string
}

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

interface Spot {
  readonly example: string
  readonly path: readonly Step[]
  readonly expression: string
}

function placesIn(value: unknown, type: string, at: Spot): Place[] {
  if (Array.isArray(value))
    return value.flatMap((item, index) =>
      placesIn(item, type, {
        ...at,
        path: [...at.path, index],
        expression: `${at.expression}[${index}]`,
      }),
    )
  if (!isObject(value)) return []
  const lines = RESOURCES[type] ?? DATA_TYPES[type] ?? PARTS[type]
  if (lines === undefined) return []
  return parseElements(lines).flatMap((element) =>
    element.types.flatMap(({ code }) => {
      const choice = element.name.endsWith('[x]')
      const name = choice ? choiceName(element.name, code) : element.name
      // A twin may stand in for what is left out.
      if (value[name] === undefined || `_${name}` in value) return []
      const step = choice ? element.name.slice(0, -3) : name
      const spot = {
        example: at.example,
        path: [...at.path, name],
        expression: `${at.expression}.${step}`,
      }
      return [{ ...spot, element, code }, ...placesIn(value[name], code, spot)]
    }),
  )
}

const places = ownExamples().flatMap(({ type, text }) =>
  placesIn(JSON.parse(text), type, { example: text, path: [], expression: type }),
)

/** Rule and place of every fault when one element is changed. */
function faultsWith({ example, path }: Place, change: (value: unknown) => unknown): string[] {
  const resource: unknown = JSON.parse(example)
  const holder = path
    .slice(0, -1)
    .reduce<unknown>((at, step) => Reflect.get(Object(at), step), resource)
  const name = path.at(-1) ?? ''
  const value = change(Reflect.get(Object(holder), name))
  if (value === undefined) Reflect.deleteProperty(Object(holder) as object, name)
  else Reflect.set(Object(holder), name, value)
  return validateResource(resource).map(({ rule, expression }) => `${rule} at ${expression}`)
}

test('an element that is required is missed where it is left out', () => {
  // Left without its only element an object is empty, which is said instead.
  const required = places.filter(({ element }) => element.required)
  const unseen = required.filter((place) => {
    const parent = place.expression.slice(0, place.expression.lastIndexOf('.'))
    const found = faultsWith(place, () => undefined)
    return (
      !found.includes(`required at ${place.expression}`) && !found.includes(`empty at ${parent}`)
    )
  })

  expect(required.length).toBeGreaterThan(200)
  expect(unseen.map(({ expression }) => expression)).toEqual([])
})

test('a code that is not of its value set is refused where the binding is required', () => {
  const bound = places.filter(({ element, code }) => element.codes !== undefined && code === 'code')
  const unseen = bound.filter((place) => {
    const [found = ''] = faultsWith(place, (value) =>
      Array.isArray(value) ? ['not_a_code'] : 'not_a_code',
    )
    return !found.startsWith(`code at ${place.expression}`)
  })

  expect(bound.length).toBeGreaterThan(80)
  expect(unseen.map(({ expression }) => expression)).toEqual([])
})

test('a reference to a type that is not allowed is refused', () => {
  // No element of our types may refer to one.
  const wrong = { reference: 'SubstanceProtein/1' }
  const targeted = places.filter(({ element, code }) =>
    element.types.some(
      (use) => use.code === code && code === 'Reference' && use.targets.length > 0,
    ),
  )
  const unseen = targeted.filter((place) => {
    const found = faultsWith(place, (value) => (Array.isArray(value) ? [wrong] : wrong))
    return !found.some((one) => one.startsWith(`reference-target at ${place.expression}`))
  })

  expect(targeted.length).toBeGreaterThan(100)
  expect(unseen.map(({ expression }) => expression)).toEqual([])
})

test('one of two types of a choice is refused', () => {
  const chosen = places.filter(({ element }) => element.types.length > 1)
  const unseen = chosen.filter(({ example, path, expression, element, code }) => {
    const other = element.types.find((use) => use.code !== code)?.code ?? ''
    const resource: unknown = JSON.parse(example)
    const holder = path
      .slice(0, -1)
      .reduce<unknown>((at, step) => Reflect.get(Object(at), step), resource)
    Reflect.set(Object(holder), choiceName(element.name, other), {})
    return !validateResource(resource).some(
      ({ rule, expression: at }) => rule === 'choice' && at === expression,
    )
  })

  expect(chosen.length).toBeGreaterThan(50)
  expect(unseen.map(({ expression }) => expression)).toEqual([])
})
