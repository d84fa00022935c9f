import * as fc from 'fast-check'
import type { Criterion } from './fhir-model-search.ts'
import {
  always,
  BIRTH_DATES,
  CODES,
  DATES,
  INDEX,
  KEYS,
  type Made,
  type ModelType,
  type Pick,
  SYSTEM,
} from './fhir-model-steps.ts'
import { BASE } from './service.ts'

// Random searches by token, date and reference, with their modifiers and prefixes.

const PREFIXES = ['', 'eq', 'ne', 'gt', 'lt', 'ge', 'le', 'sa', 'eb', 'ap']
/** The service's clock starts on this day. */
const UPDATES = [
  '2026',
  '2026-03-02',
  '2026-03-02T09:00Z',
  '2026-03-02T09:00:30Z',
  '2026-03-02T09:01Z',
]

const REFERENCES: Readonly<Record<ModelType, readonly (readonly [string, ModelType])[]>> = {
  Patient: [['organization', 'Organization']],
  Observation: [
    ['patient', 'Patient'],
    ['subject', 'Patient'],
  ],
  Organization: [['partof', 'Organization']],
}
const DATE_NAMES: Readonly<Record<ModelType, readonly string[]>> = {
  Patient: ['birthdate'],
  Observation: ['date'],
  Organization: [],
}
const several = <Value>(one: fc.Arbitrary<Value>) => fc.array(one, { minLength: 1, maxLength: 2 })
const criterion = (
  name: string,
  modifier: Criterion['modifier'],
  values: fc.Arbitrary<readonly Made<string>[]>,
): fc.Arbitrary<Made<Criterion>> =>
  values.map((made) => (pick) => ({ name, modifier, values: made.map((one) => one(pick)) }))
const fixed = (values: readonly string[]) => several(fc.constantFrom(...values).map(always))

const IDENTIFIERS = [`${SYSTEM}|a`, `${SYSTEM}|b`, `${SYSTEM}|`, '|a', 'a', 'c', 'z']
const CODE_VALUES = CODES.flatMap((system) => [`${system}|x`, `${system}|y`, `${system}|`])

function tokens(name: string, values: readonly string[]) {
  return [criterion(name, undefined, fixed(values)), criterion(name, 'not', fixed(values))]
}
const missing = (name: string) =>
  criterion(
    name,
    'missing',
    fc.constantFrom('true', 'false').map((one) => [always(one)]),
  )
const dated = (name: string, dates: readonly string[]) =>
  criterion(
    name,
    undefined,
    several(
      fc
        .tuple(fc.constantFrom(...PREFIXES), fc.constantFrom(...dates))
        .map(([prefix, date]) => always(`${prefix}${date}`)),
    ),
  )
const referring = (name: string, type: ModelType) =>
  criterion(
    name,
    undefined,
    several(
      fc
        .tuple(INDEX, fc.constantFrom('id', 'relative', 'absolute'))
        .map(([index, form]) => (pick: Pick) => {
          const place = pick(type, index)
          if (form === 'id') return place.slice(type.length + 1)
          return form === 'relative' ? place : `${BASE}/${place}`
        }),
    ),
  )

/** What identifies a resource, for conditional interactions. */
export const conditionOf = (): fc.Arbitrary<Made<readonly Criterion[]>> =>
  fc
    .constantFrom(...KEYS.map((key) => `${SYSTEM}|${key}`), ...IDENTIFIERS)
    .map((value) => always([{ name: 'identifier', modifier: undefined, values: [value] }]))

export const searchOf = (type: ModelType): fc.Arbitrary<Made<readonly Criterion[]>> => {
  const names = DATE_NAMES[type]
  const one = fc.oneof(
    ...tokens('identifier', IDENTIFIERS),
    missing('identifier'),
    dated('_lastUpdated', UPDATES),
    ...names.flatMap((name) => [
      dated(name, [...DATES, '2025-03-01T10:00Z', ...BIRTH_DATES]),
      missing(name),
    ]),
    ...REFERENCES[type].flatMap(([name, target]) => [referring(name, target), missing(name)]),
    ...(type === 'Observation'
      ? [
          ...tokens('code', [...CODE_VALUES, 'x', '|x']),
          missing('code'),
          ...tokens('status', ['final', 'amended']),
        ]
      : []),
  )
  return several(one).map((made) => (pick) => made.map((each) => each(pick)))
}
