import { expect, test } from 'vitest'

import { civilDate } from '../../src/domain/calendar.ts'
import { parseText } from '../../src/fhir/json-body.ts'
import { profileFaults } from '../../src/fhir/profiles.ts'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { asResource, validateResource } from '../../src/fhir/validate.ts'
import { ownExamples } from '../helpers/own-examples.ts'

const LATEST = civilDate('2026-03-02')
const examples = ownExamples()

function valueOf(text: string): unknown {
  const body = parseText(text)
  if (!body.ok) throw new Error('The example is no JSON')
  return body.value
}

test('there is one example of every type that the service keeps', () => {
  expect(examples.map(({ type }) => type)).toEqual(REGISTRY.map(({ type }) => type).toSorted())
})

for (const { place, type, text } of examples) {
  test(`${place} is valid R4`, () => {
    expect(validateResource(valueOf(text))).toEqual([])
  })

  test(`${place} keeps our profiles`, () => {
    expect(profileFaults(asResource(valueOf(text)), type, LATEST)).toEqual([])
  })
}

test('what the examples refer to is another example', () => {
  const places = examples.map(({ place }) => place)
  const referred = examples.flatMap(({ text }) =>
    [...text.matchAll(/"reference":\s*"([^"]+)"/g)].map(([, reference]) => reference ?? ''),
  )

  expect(referred.length).toBeGreaterThan(100)
  expect(referred.filter((reference) => !places.includes(reference))).toEqual([])
})

test('what a caller may send refers to what a caller may send', () => {
  const mayCome = new Set<string>(
    REGISTRY.filter(({ interactions }) => interactions.includes('create')).map(({ type }) => type),
  )
  const referred = examples
    .filter(({ type }) => mayCome.has(type))
    .flatMap(({ text }) =>
      [...text.matchAll(/"reference":\s*"(\w+)\//g)].map(([, type]) => type ?? ''),
    )

  expect(referred.filter((type) => !mayCome.has(type))).toEqual([])
})

test('all examples are about one child', () => {
  const children = examples.flatMap(({ text }) => text.match(/Patient\/[a-z-]+"/g) ?? [])

  expect(new Set(children)).toEqual(new Set(['Patient/example-child"']))
})
