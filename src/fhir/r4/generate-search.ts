import { readFileSync, writeFileSync } from 'node:fs'
import { z } from 'zod'
import { HEADER } from './generate-definitions.ts'
import { type Model, modelOf, OfficialSource } from './generate-model.ts'
import { TYPED_RESOURCES } from './generate-types.ts'
import { type OfficialParam, searchLine, type SearchKind } from './search-line.ts'
import { atomsOf } from './search-expression.ts'

const OfficialParameters = z.object({
  searchParameters: z.array(
    z.object({
      url: z.string(),
      code: z.string(),
      type: z.string(),
      base: z.array(z.string()),
      expression: z.string().optional(),
      target: z.array(z.string()).optional(),
      component: z.array(z.object({ definition: z.string(), expression: z.string() })).optional(),
    }),
  ),
})
type OfficialParameters = z.infer<typeof OfficialParameters>
type Official = OfficialParameters['searchParameters'][number]

const Compartment = z.object({
  resource: z.array(z.object({ code: z.string(), param: z.array(z.string()).optional() })),
})

const BASE = 'http://hl7.org/fhir/SearchParameter/'

/** Its expression answers yes or no; it is found by what stands in the choice. */
const DECEASED = 'Patient.deceased.exists() and Patient.deceased != false'

/** The text of search-parameters.ts. */
export function searchText(
  model: Model,
  parameters: readonly unknown[],
  compartment: unknown,
): string {
  const searchParameters = parameters.flatMap(
    (source) => OfficialParameters.parse(source).searchParameters,
  )
  const rows = TYPED_RESOURCES.map(
    (type) => [type, linesOf(model, searchParameters, type)] as const,
  )
  const params = Compartment.parse(compartment).resource.flatMap(({ code, param }) =>
    (TYPED_RESOURCES as readonly string[]).includes(code) && param !== undefined
      ? [[code, param.join('|')] as const]
      : [],
  )
  return [
    HEADER,
    '/** Search parameters of each type, one line each; see search-line.ts for the form. */',
    'export const SEARCH_PARAMETERS: Readonly<Record<string, string>> = {',
    ...rows.map(([type, lines]) => `  ${type}: \`\n${lines.join('\n')}\n\`,`),
    '}',
    '',
    '/** The parameters that place a type in the compartment of a Patient. */',
    'export const PATIENT_COMPARTMENT: Readonly<Record<string, string>> = {',
    ...params.map(([type, names]) => `  ${type}: \`${names}\`,`),
    '}',
    '',
  ].join('\n')
}

function linesOf(model: Model, all: readonly Official[], type: string): string[] {
  return all
    .filter(({ base, type: kind }) => base.includes(type) && kind !== 'special')
    .filter(({ url }) => !url.startsWith(`${BASE}example`))
    .flatMap((one) => paramOf(model, all, one, type) ?? [])
    .toSorted((a, b) => (a.code < b.code ? -1 : 1))
    .map(searchLine)
}

const partsOf = (expression: string, type: string): string[] =>
  expression
    .split('|')
    .map((part) => part.trim())
    .filter((part) => new RegExp(`^\\(?${type}\\b`).test(part))
    .map((part) => part.replace(new RegExp(`^(\\(?)${type}\\.?`), '$1'))

function paramOf(
  model: Model,
  all: readonly Official[],
  official: Official,
  type: string,
): OfficialParam | undefined {
  const { code, url, expression = '', target = [] } = official
  const kind = official.type as SearchKind
  const definition = url.replace(BASE, '')
  const base = { code, kind, definition, targets: target.length > 20 ? [] : target }
  if (kind === 'composite') return compositeOf(model, all, official, { type, base })
  if (expression === DECEASED && type === 'Patient') {
    const living = { targets: [], many: false }
    const atoms = [
      { path: 'deceasedBoolean', type: 'boolean', ...living },
      { path: 'deceasedDateTime', type: 'exists', ...living },
    ]
    return { ...base, atoms, anchors: [], parts: [] }
  }
  const found = partsOf(expression, type).flatMap((part) =>
    atomsOf(model, type, { expression: part, kind }),
  )
  const atoms = [...new Map(found.map((atom) => [atom.path, atom])).values()]
  return atoms.length === 0 ? undefined : { ...base, atoms, anchors: [], parts: [] }
}

function compositeOf(
  model: Model,
  all: readonly Official[],
  { expression = '', component = [] }: Official,
  { type, base }: { type: string; base: Omit<OfficialParam, 'atoms' | 'anchors' | 'parts'> },
): OfficialParam | undefined {
  const anchors = partsOf(expression, type).map((part) => part.replaceAll(/[()]/g, ''))
  const anchor = anchors.at(-1) ?? ''
  const anchorType = anchor === '' ? type : `${type}.${anchor}`
  const from = anchorTypeOf(model, type, anchor) ?? anchorType
  const parts = component.map((half) => {
    const kind = (all.find(({ url }) => url === half.definition)?.type ?? 'token') as SearchKind
    const read = (expression: string) =>
      expression
        .split('|')
        .flatMap((part) => atomsOf(model, from, { expression: part.trim(), kind }))
    const own = read(half.expression)
    // DocumentReference-relationship is published with the expressions of its halves exchanged.
    const other = component.find((one) => one !== half)?.expression ?? ''
    return { kind, atoms: own.length > 0 ? own : read(other) }
  })
  if (parts.some(({ atoms }) => atoms.length === 0)) return undefined
  return { ...base, targets: [], atoms: [], anchors, parts }
}

/** The data type or nested part that stands at an anchor. */
const anchorTypeOf = (model: Model, type: string, anchor: string): string | undefined =>
  model.resources.get(type)?.find(({ name }) => name === anchor)?.types[0]?.code

/** A development script: the folder of the official definitions is its argument. */
if (process.argv[1]?.endsWith('generate-search.ts') === true) {
  const folder = process.argv[2]
  if (folder === undefined) throw new Error('Name the folder of the official search parameters')
  const modules = new URL('../../../node_modules/', import.meta.url)
  const json = (path: string | URL): unknown => JSON.parse(readFileSync(path, 'utf8'))
  const model = modelOf(
    OfficialSource.parse({
      types: json(new URL('fhir/profiles/types.json', modules)),
      valueSets: json(new URL('fhir/profiles/valuesets.json', modules)),
      paths: json(new URL('fhirpath/fhir-context/r4/path2Type.json', modules)),
    }),
  )
  writeFileSync(
    new URL('search-parameters.ts', import.meta.url),
    searchText(
      model,
      [
        json(`${folder}/search-parameters-4.0.1.json`),
        json(new URL('search-supplement.json', import.meta.url)),
      ],
      json(`${folder}/compartment-patient-4.0.1.json`),
    ),
  )
}
