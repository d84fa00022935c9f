import { existsSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'

import { choiceName, isPrimitive, parseElements } from '../../src/fhir/r4/definition.ts'
import { CODES, DATA_TYPES, PARTS, RESOURCES } from '../../src/fhir/r4/definitions.ts'
import { definitionsText } from '../../src/fhir/r4/generate-definitions.ts'
import { modelOf, OfficialSource } from '../../src/fhir/r4/generate-model.ts'
import { summaryText } from '../../src/fhir/r4/generate-summary.ts'
import { typesText } from '../../src/fhir/r4/generate-types.ts'

const ROOT = new URL('../../', import.meta.url)
const read = (path: string) => readFileSync(new URL(path, ROOT), 'utf8')
const json = (path: string): unknown => JSON.parse(read(`node_modules/${path}`))

const model = modelOf(
  OfficialSource.parse({
    types: json('fhir/profiles/types.json'),
    valueSets: json('fhir/profiles/valuesets.json'),
    paths: json('fhirpath/fhir-context/r4/path2Type.json'),
  }),
)

const everything: Readonly<Record<string, string>> = { ...RESOURCES, ...DATA_TYPES, ...PARTS }
const line = (path: string, element: string) =>
  everything[path]?.split('\n').find((text) => text.startsWith(`${element} `))

test('the committed definitions are what the generator writes', () => {
  expect(definitionsText(model) === read('src/fhir/r4/definitions.ts')).toBe(true)
})

test('the committed types are what the generator writes', () => {
  expect(typesText(model) === read('src/fhir/r4/types.ts')).toBe(true)
})

/** Typed from the R4 4.0.1 pages of the types (section "Resource Content"), not from src. */
const PUBLISHED: [path: string, element: string, line: string][] = [
  ['DeviceRequest', 'status', 'status 0..1 code {request-status}'],
  ['DeviceRequest', 'intent', 'intent 1..1 code {request-intent}'],
  ['DeviceRequest', 'code[x]', 'code[x] 1..1 Reference(Device)|CodeableConcept'],
  ['DeviceRequest', 'subject', 'subject 1..1 Reference(Patient,Group,Location,Device)'],
  ['DeviceRequest', 'basedOn', 'basedOn 0..* Reference'],
  ['ServiceRequest', 'code', 'code 0..1 CodeableConcept'],
  ['ServiceRequest', 'status', 'status 1..1 code {request-status}'],
  ['Patient', 'id', 'id 0..1 id'],
  ['Patient', 'deceased[x]', 'deceased[x] 0..1 boolean|dateTime'],
  ['Patient.contact', 'id', 'id 0..1 string'],
  ['Patient.link', 'other', 'other 1..1 Reference(Patient,RelatedPerson)'],
  ['Observation.component', 'referenceRange', 'referenceRange 0..* Observation.referenceRange'],
  ['Coverage', 'payor', 'payor 1..* Reference(Organization,Patient,RelatedPerson)'],
  ['Extension', 'url', 'url 1..1 uri'],
  ['Reference', 'reference', 'reference 0..1 string'],
  ['Bundle.entry', 'resource', 'resource 0..1 Resource'],
  ['Timing.repeat', 'periodUnit', 'periodUnit 0..1 code {units-of-time}'],
]

for (const [path, element, published] of PUBLISHED) {
  test(`${path}.${element} is as published`, () => {
    expect(line(path, element)).toBe(published)
  })
}

test('R4 has 146 resource types besides the two abstract ones', () => {
  expect(Object.keys(RESOURCES)).toHaveLength(146)
})

/** Typed from the value set pages of 4.0.1: the sets that select from a wider code system. */
test('value sets that select codes hold those and no others', () => {
  expect(CODES['care-plan-intent']).toBe('proposal|plan|order|option')
  expect(CODES['task-intent']?.split('|')).toHaveLength(9)
  expect(CODES['care-plan-activity-kind']?.split('|')).toHaveLength(8)
  expect(CODES['type-restful-interaction']?.split('|')).toHaveLength(9)
  expect(CODES['system-restful-interaction']?.split('|')).toHaveLength(4)
  expect(CODES['administrative-gender']).toBe('male|female|other|unknown')
})

test('every element agrees with the R4 model of the FHIRPath package, an independent copy', () => {
  const Path = z.union([z.string(), z.object({ code: z.string() })])
  const paths = z.record(z.string(), Path).parse(json('fhirpath/fhir-context/r4/path2Type.json'))
  const elsewhere = z
    .record(z.string(), z.string())
    .parse(json('fhirpath/fhir-context/r4/pathsDefinedElsewhere.json'))

  let compared = 0
  const differences = Object.entries(everything).flatMap(([path, lines]) =>
    parseElements(lines).flatMap(({ name, types }) =>
      types.flatMap(({ code }) => {
        const at = `${path}.${name.endsWith('[x]') ? choiceName(name, code) : name}`
        const known = paths[at] ?? elsewhere[at]
        if (known === undefined || name === 'id' || at === 'Extension.url') return []
        compared += 1
        const theirs = typeof known === 'string' ? known : known.code
        const nested = theirs === 'BackboneElement' || theirs === 'Element'
        const ours = nested && !isPrimitive(code) && code.includes('.') ? theirs : code
        return theirs === ours ? [] : [`${at}: ${ours}, there ${theirs}`]
      }),
    ),
  )

  expect(differences).toEqual([])
  // The model leaves out what every type inherits; this many it does describe.
  expect(compared).toBeGreaterThan(4000)
})

test('every type and part that an element names is defined', () => {
  const named = Object.values(everything)
    .flatMap(parseElements)
    .flatMap(({ types }) => types.map(({ code }) => code))
    .filter((code) => !isPrimitive(code) && code !== 'Resource')

  expect(named.filter((code) => everything[code] === undefined)).toEqual([])
})

const FOLDER = new URL('../shared/reference/fhir/definitions/', ROOT)

test.runIf(existsSync(FOLDER))('the committed summaries are what the generator writes', () => {
  const structures: unknown = JSON.parse(
    readFileSync(new URL('structure-4.0.1.json', FOLDER), 'utf8'),
  )
  const supplement: unknown = JSON.parse(read('src/fhir/r4/summary-supplement.json'))

  expect(summaryText(structures, supplement) === read('src/fhir/r4/summary-elements.ts')).toBe(true)
})
