import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { parseText } from '../../src/fhir/json-body.ts'
import { ownParamsOf } from '../../src/fhir/own-search-params.ts'
import { pathOfPair, tokenFirst } from '../../src/fhir/pair-values.ts'
import { REGISTRY, rowOf } from '../../src/fhir/registry.ts'
import { identifierPath, type SearchValues } from '../../src/fhir/search-index.ts'
import { COMMON_PARAMS, type SearchParam } from '../../src/fhir/search-params.ts'
import { searchValues } from '../../src/fhir/search-values.ts'
import * as official from '../helpers/official-values.ts'
import {
  committedExpressions,
  type Expression,
  hasDefinitions,
  officialExpressions,
} from '../helpers/search-expressions.ts'

const baseUrl = 'https://footing.example/fhir'
const EXPRESSIONS = committedExpressions()
const ROOT = new URL('../../', import.meta.url)

/** Official, but of extensions, of the resources inside a Bundle, or computed: not offered. */
const NOT_OFFERED = [
  'Device.din',
  'Observation.amino-acid-change',
  'Observation.dna-variant',
  'Observation.gene-amino-acid-change',
  'Observation.gene-dnavariant',
  'Observation.gene-identifier',
  'Patient.mothersMaidenName',
  'Patient.part-agree',
  'QuestionnaireResponse.item-subject',
]
/** Answered by columns of their own. */
const COLUMNS = ['_id', '_lastUpdated']

/** Those of R4: our own are held against our own definitions in capability.test.ts. */
const ofR4 = (type: string, params: readonly SearchParam[]): readonly SearchParam[] =>
  params.filter(({ code }) => !ownParamsOf(type).some((own) => own.code === code))

test.runIf(hasDefinitions)('the committed expressions are those of the definitions', () => {
  expect(EXPRESSIONS).toEqual(officialExpressions())
})

test('what R4 defines for the types of this service is offered, and nothing else', () => {
  const offered = REGISTRY.flatMap(({ type, search }) =>
    ofR4(type, search)
      .filter((one) => !COMMON_PARAMS.includes(one))
      .map(({ code }) => `${type}.${code}`),
  )
  const defined = REGISTRY.flatMap(({ type }) =>
    Object.keys(EXPRESSIONS[type] ?? {}).map((code) => `${type}.${code}`),
  )

  expect([...offered, ...NOT_OFFERED].toSorted()).toEqual(defined.toSorted())
  expect([...COMMON_PARAMS.map(({ code }) => code), ...COLUMNS].toSorted()).toEqual(
    Object.keys(EXPRESSIONS['Resource'] ?? {}).toSorted(),
  )
})

type Json = Readonly<Record<string, unknown>>

function resourcesOf(folder: string): { name: string; resource: Json }[] {
  const url = new URL(folder, ROOT)
  if (!existsSync(url)) return []
  return readdirSync(url).flatMap((name) => {
    const parsed = parseText(readFileSync(new URL(name, url), 'utf8'))
    if (!parsed.ok) throw new Error(`${name} cannot be read`)
    // The digits of numbers do not matter here, and FHIRPath knows plain numbers only.
    const resource = JSON.parse(readFileSync(new URL(name, url), 'utf8')) as Json
    return rowOf(String(resource['resourceType'])) === undefined ? [] : [{ name, resource }]
  })
}

const expressionOf = (type: string, { code }: SearchParam): Expression => {
  const known = EXPRESSIONS[type]?.[code] ?? EXPRESSIONS['Resource']?.[code]
  if (known === undefined) throw new Error(`${type}.${code} has no expression`)
  return known
}

const unhashed = (text: string): string => text.replace(/^(.{190})#[0-9a-f]{64}$/s, '$1')

/** The rows with those that have columns of their own, which stand at the places of the columns. */
function allRows(type: string, values: SearchValues): SearchValues {
  const { patient, code, status, date } = rowOf(type)?.columns ?? { date: [] }
  const at = (path: string | undefined) => path ?? ''
  return {
    ...values,
    tokens: [
      ...values.tokens,
      ...(values.code === undefined ? [] : [{ path: at(code), ...values.code }]),
      ...(values.status === undefined
        ? []
        : [{ path: at(status), system: '', code: values.status }]),
    ],
    references: [
      ...values.references,
      ...(values.patientId === undefined || patient === undefined
        ? []
        : [{ path: patient, targetType: 'Patient', targetId: values.patientId }]),
    ],
    // Which one of the choice it was is not in the column.
    dates: [
      ...values.dates,
      ...(values.date === undefined
        ? []
        : date.slice(0, 1).map((path) => ({
            path,
            start: values.date?.from ?? '',
            end: values.date?.to ?? '',
          }))),
    ],
  }
}

/** What a parameter finds a resource by, in the words of official-values.ts. */
function ours({ kind, atoms }: SearchParam, values: SearchValues): string[] {
  const paths = atoms.map(({ path }) => path)
  const here = <Row extends { readonly path: string }>(rows: readonly Row[], of = paths): Row[] =>
    rows.filter(({ path }) => of.includes(path))
  switch (kind) {
    case 'token':
      return here(values.tokens).map(({ system, code }) => `${unhashed(system)}|${unhashed(code)}`)
    case 'reference':
      return atoms.flatMap(({ path, targets }) => [
        ...here(values.references, [path])
          .filter(({ targetType }) => targets.length === 0 || targets.includes(targetType))
          .map(({ targetType, targetId }) => `${targetType}/${targetId}`),
        ...(targets.length > 0
          ? []
          : [
              ...here(values.uris, [path]).map(
                ({ value, version }) => `${unhashed(value)}|${version}`,
              ),
              ...here(values.tokens, [identifierPath(path)]).map(
                ({ system, code }) => `identifier ${system}|${code}`,
              ),
            ]),
      ])
    case 'string':
      return here(values.strings).map(({ exact }) => unhashed(exact))
    case 'uri':
      return here(values.uris).map(({ value, version }) => `${unhashed(value)}|${version}`)
    case 'date':
      return here(values.dates).map(({ start, end }) => `${Date.parse(start)} ${Date.parse(end)}`)
    case 'number':
    case 'quantity':
      return here(values.quantities).map(
        ({ low, high, system, code, unit }) =>
          `${Number(low)} ${Number(high)} ${system} ${code} ${unit}`,
      )
    case 'composite':
      return []
  }
}

const READERS = {
  token: official.tokens,
  reference: official.references,
  string: official.strings,
  uri: official.uris,
  date: official.dates,
  number: official.numbers,
  quantity: official.quantities,
}

function theirs(param: SearchParam, { expression }: Expression, resource: Json): string[] {
  if (param.kind === 'composite') return []
  // The expression answers yes or no; of a no that is written we keep that it is a no.
  if (param.code === 'deceased')
    return resource['deceasedBoolean'] === false
      ? ['|false']
      : official.found(resource, expression).flatMap(({ data }) => (data === true ? ['|true'] : []))
  return official.found(resource, expression).flatMap(READERS[param.kind])
}

const distinct = (texts: readonly string[]): string[] => [...new Set(texts)].toSorted()

function differences(name: string, resource: Json): { compared: number; differing: string[] } {
  const type = String(resource['resourceType'])
  const values = allRows(type, searchValues({ type, id: 'own', baseUrl }, resource))
  const differing: string[] = []
  let compared = 0
  for (const param of ofR4(type, rowOf(type)?.search ?? [])) {
    const expected = distinct(theirs(param, expressionOf(type, param), resource))
    const actual = distinct(ours(param, values))
    compared += expected.length
    if (expected.join('\n') !== actual.join('\n'))
      differing.push(
        `${name} ${param.code}: ${actual.join(', ')} instead of ${expected.join(', ')}`,
      )
  }
  return { compared, differing }
}

test.each([
  ['tests/cases/r4/examples/', 20, 150],
  ['tests/cases/r4/own/', 40, 400],
])('%s: every parameter finds what its official expression finds', (folder, files, most) => {
  const resources = resourcesOf(folder)

  const results = resources.map(({ name, resource }) => differences(name, resource))

  expect(results.flatMap(({ differing }) => differing)).toEqual([])
  expect(resources.length).toBeGreaterThanOrEqual(files)
  expect(results.reduce((sum, { compared }) => sum + compared, 0)).toBeGreaterThan(most)
})

const BESIDE = '../shared/reference/fhir/r4/'

test.runIf(existsSync(new URL(BESIDE, ROOT)))(
  'so it is of all official examples',
  ({ annotate }) => {
    const resources = resourcesOf(BESIDE)

    const results = resources.map(({ name, resource }) => differences(name, resource))

    expect(results.flatMap(({ differing }) => differing)).toEqual([])
    const compared = results.reduce((sum, one) => sum + one.compared, 0)
    return annotate(`${resources.length} examples, ${compared} values`)
  },
)

/** DocumentReference-relationship is published with the expressions of its halves exchanged. */
function halvesOf(param: SearchParam, { parts = [] }: Expression): Expression[] {
  const [first, second] = parts
  if (first === undefined || second === undefined) throw new Error('A composite has two halves')
  const exchanged =
    param.code === 'relationship'
      ? [
          { ...first, expression: second.expression },
          { ...second, expression: first.expression },
        ]
      : [first, second]
  return tokenFirst(param.parts)[0] === param.parts[0] ? exchanged : exchanged.toReversed()
}

test('every composite finds pairs that its official expressions find', () => {
  const resources = [
    ...resourcesOf('tests/cases/r4/examples/'),
    ...resourcesOf('tests/cases/r4/own/'),
    ...resourcesOf(BESIDE),
  ]
  let compared = 0

  for (const { name, resource } of resources) {
    const type = String(resource['resourceType'])
    const { pairs } = searchValues({ type, id: 'own', baseUrl }, resource)
    for (const param of rowOf(type)?.search.filter(({ kind }) => kind === 'composite') ?? []) {
      const known = expressionOf(type, param)
      const [first, second] = halvesOf(param, known)
      for (const anchor of param.anchors.filter((one) => one !== '')) {
        const base = `${type}.${anchor}`
        const below = (half: Expression | undefined, element: unknown) =>
          official
            .found(element, half?.expression ?? '', base)
            .flatMap(READERS[half?.type as keyof typeof READERS])
        const expected = official
          .found(resource, base)
          .flatMap(({ data }) =>
            below(first, data).flatMap((one) =>
              below(second, data).map((two) => `${one} $ ${two}`),
            ),
          )
        const actual = pairs
          .filter(({ path }) => path === pathOfPair(param, anchor))
          .map((row) => `${row.system}|${row.code} $ ${secondOf(row)}`)
        expect(distinct(actual), `${name} ${param.code}`).toEqual(distinct(expected))
        compared += expected.length
      }
    }
  }

  expect(compared).toBeGreaterThan(10)
})

const secondOf = (row: SearchValues['pairs'][number]): string => {
  if (row.targetType !== undefined) return `${row.targetType}/${row.targetId}`
  if (row.low === undefined) return `${row.secondSystem}|${row.secondCode}`
  return `${Number(row.low)} ${Number(row.high)} ${row.secondSystem} ${row.secondCode} ${row.unit}`
}
