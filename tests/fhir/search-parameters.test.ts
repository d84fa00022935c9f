import { existsSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { modelOf, OfficialSource } from '../../src/fhir/r4/generate-model.ts'
import { searchText } from '../../src/fhir/r4/generate-search.ts'
import { atomsOf } from '../../src/fhir/r4/search-expression.ts'
import { parseSearchLine, searchLine } from '../../src/fhir/r4/search-line.ts'
import { PATIENT_COMPARTMENT, SEARCH_PARAMETERS } from '../../src/fhir/r4/search-parameters.ts'
import {
  compartmentParamsOf,
  searchParamsOf,
  typedColumnsOf,
} from '../../src/fhir/search-params.ts'

const ROOT = new URL('../../', import.meta.url)
const FOLDER = new URL('../shared/reference/fhir/definitions/', ROOT)
const json = (url: URL): unknown => JSON.parse(readFileSync(url, 'utf8'))
const installed = (path: string) => json(new URL(`node_modules/${path}`, ROOT))

const model = modelOf(
  OfficialSource.parse({
    types: installed('fhir/profiles/types.json'),
    valueSets: installed('fhir/profiles/valuesets.json'),
    paths: installed('fhirpath/fhir-context/r4/path2Type.json'),
  }),
)

const SUPPLEMENT = new URL('src/fhir/r4/search-supplement.json', ROOT)

test.runIf(existsSync(FOLDER))('the committed table is what the generator writes', () => {
  const text = searchText(
    model,
    [json(new URL('search-parameters-4.0.1.json', FOLDER)), json(SUPPLEMENT)],
    json(new URL('compartment-patient-4.0.1.json', FOLDER)),
  )

  const committed = readFileSync(new URL('src/fhir/r4/search-parameters.ts', ROOT), 'utf8')
  expect(text === committed).toBe(true)
})

test('every part of every expression that was supplied by hand leads to an element', () => {
  const { searchParameters } = z
    .object({
      searchParameters: z.array(
        z.object({
          code: z.string(),
          type: z.enum(['token', 'reference', 'date', 'string', 'uri', 'quantity', 'composite']),
          base: z.array(z.string()).length(1),
          expression: z.string(),
        }),
      ),
    })
    .parse(json(SUPPLEMENT))

  const nowhere = searchParameters
    .filter(({ type }) => type !== 'composite')
    .flatMap(({ code, type, base: [of = ''], expression }) =>
      expression
        .split('|')
        .map((part) => part.trim().replace(`${of}.`, ''))
        .filter((part) => atomsOf(model, of, { expression: part, kind: type }).length === 0)
        .map((part) => `${of}.${code}: ${part}`),
    )

  expect(nowhere).toEqual([])
  expect(searchParameters.length).toBeGreaterThan(100)
})

test('every line of the table is read as it was written', () => {
  const lines = Object.values(SEARCH_PARAMETERS).flatMap((text) =>
    text.split('\n').filter((line) => line !== ''),
  )

  expect(lines.map((line) => searchLine(parseSearchLine(line)))).toEqual(lines)
  expect(lines.length).toBeGreaterThan(600)
})

test('no type has two parameters of the same name', () => {
  const twice = Object.keys(SEARCH_PARAMETERS).filter((type) => {
    const codes = searchParamsOf(type).map(({ code }) => code)
    return new Set(codes).size < codes.length
  })

  expect(twice).toEqual([])
})

/** Typed from the R4 4.0.1 pages of the types, section "Search Parameters". */
test.each([
  ['Observation', 'value-quantity', ['valueQuantity']],
  [
    'Observation',
    'date',
    ['effectiveDateTime', 'effectivePeriod', 'effectiveTiming', 'effectiveInstant'],
  ],
  ['Observation', 'combo-code', ['code', 'component.code']],
  ['Patient', 'phone', ['telecom[system=phone]']],
  ['Patient', 'deceased', ['deceasedBoolean', 'deceasedDateTime']],
  ['Appointment', 'part-status', ['participant.status']],
  ['Procedure', 'date', ['performedDateTime', 'performedPeriod']],
  ['Composition', 'related-ref', ['relatesTo.targetReference']],
  ['CommunicationRequest', 'occurrence', ['occurrenceDateTime']],
  ['Library', 'depends-on', ['relatedArtifact[type=depends-on].resource']],
])('%s?%s reads %j', (type, code, paths) => {
  const param = searchParamsOf(type).find((one) => one.code === code)

  expect(param?.atoms.map(({ path }) => path)).toEqual(paths)
})

test('patient counts references to a Patient only where the expression says so', () => {
  const targetsOf = (type: string) =>
    searchParamsOf(type)
      .find(({ code }) => code === 'patient')
      ?.atoms.map(({ targets }) => targets)

  expect(targetsOf('Observation')).toEqual([['Patient']])
  expect(targetsOf('Appointment')).toEqual([['Patient']])
  // Its subject may be a Group, and R4 does not restrict the expression.
  expect(targetsOf('DeviceUseStatement')).toEqual([[]])
})

test('single values of the parameters that carry most traffic have columns', () => {
  expect(typedColumnsOf(searchParamsOf('Observation'))).toEqual({
    patient: 'subject',
    code: 'code',
    status: 'status',
    date: ['effectiveDateTime', 'effectivePeriod', 'effectiveTiming', 'effectiveInstant'],
  })
  // Several participants may be patients.
  expect(typedColumnsOf(searchParamsOf('Appointment')).patient).toBeUndefined()
})

/** The CompartmentDefinition of R4 (4.0.1) has no Task. */
test('Task is in the compartment of its patient although R4 leaves it out', () => {
  expect(PATIENT_COMPARTMENT['Task']).toBeUndefined()
  expect(compartmentParamsOf('Task')).toEqual(['patient'])
  expect(compartmentParamsOf('Observation')).toEqual(['subject', 'performer'])
  expect(compartmentParamsOf('Questionnaire')).toEqual([])
})
