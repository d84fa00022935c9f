import { REGISTRY } from '../../src/fhir/registry.ts'
import type { DescribedOperation, DescribedParameter } from './description.ts'

// What is put into an address that the interface description gives.

/** What there is to ask for. */
export interface There {
  /** Ids by type; of a type that is not named there is none. */
  readonly ids: Readonly<Record<string, string>>
  readonly partnerId: string
  readonly exportId: string
  /** Of the rule set and the size chart in force, and of the form, by the names of their parameters. */
  readonly names: Readonly<Record<string, string>>
}

const NONE = 'none-of-this-id'

/** The path with what there is of it. */
function filled({ path }: Pick<DescribedOperation, 'path'>, there: There): string {
  const [, before = ''] = /([\w$-]+)\/\{id\}/.exec(path) ?? []
  const type = before === '' ? 'Observation' : before
  const ids: Readonly<Record<string, string>> = {
    ...there.ids,
    '$export-status': there.exportId,
    '$export-file': there.exportId,
    partners: there.partnerId,
  }
  return path
    .replace('{id}', ids[type] ?? NONE)
    .replace('{type}', 'Observation')
    .replace(`Observation/${NONE}`, `Observation/${ids['Observation'] ?? NONE}`)
    .replace('{inner}', '*')
    .replace('{version}', '1')
    .replace('{file}', 'Patient.ndjson')
}

/** Values by the name of a parameter, where its description leaves it open. */
const VALUES: Readonly<Record<string, string>> = {
  _format: 'json',
  _id: 'a',
  _lastUpdated: 'gt2020-01-01',
  _include: 'Observation:subject',
  _revinclude: 'Provenance:target',
  _sort: '-_lastUpdated',
  _type: 'Observation',
  _typeFilter: 'Observation?code=a',
  _at: '2026-03-02',
  practitioner: 'Practitioner/a',
  calls: '5',
  language: 'es',
  paper: 'LETTER',
  status: 'active',
  content: 'empty',
  mode: 'update',
  start: '2026-01-01',
  end: '2026-12-31',
  eventsSinceNumber: '1',
  eventsUntilNumber: '2',
  _elements: 'id',
}
const BY_KIND: Readonly<Record<string, string>> = {
  date: '2026-03-02',
  number: '1',
  quantity: '1',
  composite: 'a$2026',
  uri: 'urn:a',
}
/** By what a parameter is sent whose name stands for others. */
const NAMED: Readonly<Record<string, readonly [string, string]>> = {
  _has: ['_has:Provenance:target:_id', 'a'],
  'of-the-type': ['code:not', 'a'],
  'of-all-types': ['_tag:not', 'a'],
}

/** A parameter as it is sent. */
export function sample(
  { path }: Pick<DescribedOperation, 'path'>,
  parameter: DescribedParameter,
  there: There,
): readonly [name: string, value: string] {
  const { name, schema } = parameter
  const ofAll = path.includes('{inner}') ? NAMED['of-all-types'] : undefined
  const named = name === 'of-the-type' ? (ofAll ?? NAMED[name]) : NAMED[name]
  if (named !== undefined && schema.type === 'object') return named
  return [name, special(path, name, there) ?? fitting(parameter)]
}

function special(path: string, name: string, { ids, names }: There): string | undefined {
  const type = /^\/fhir\/(\w+)(?:$|\/_search)/.exec(path)?.[1]
  const kind = REGISTRY.find((row) => row.type === type)?.search.find(
    ({ code }) => code === name,
  )?.kind
  if (kind !== undefined) return BY_KIND[kind] ?? 'a'
  if (name === 'id' && path.endsWith('$document')) return 'never'
  if (name === 'subject') return `Patient/${ids['Patient']}`
  if (name === 'patient') return ids['Patient']
  if (name === 'kind') return path.includes('$chart') ? 'milestones' : 'reply'
  if (name === 'persist') return 'false'
  return names[name]
}

function fitting({ name, schema }: DescribedParameter): string {
  const known = schema.enum?.[0] ?? schema.items?.enum?.[0] ?? VALUES[name]
  if (known !== undefined) return known
  if (schema.format === 'date') return '2026-03-02'
  if (schema.format === 'date-time') return '2026-03-02T09:00:00Z'
  if (schema.type === 'integer') return '5'
  return schema.type === 'boolean' ? 'true' : 'a'
}

/** By one of them a form is named. */
export const FORM_NAMES = ['questionnaire', 'canonical', 'questionnaireRef', 'identifier']

/** The address of an operation with what it needs, and parameters more. */
export function address(
  operation: DescribedOperation,
  there: There,
  more: readonly (readonly [string, string])[] = [],
): string {
  const given = more.map(([name]) => name)
  const needed = operation.query
    .filter(
      ({ name, required }) =>
        required === true ||
        (name === 'questionnaire' && !given.some((one) => FORM_NAMES.includes(one))),
    )
    .filter(({ name }) => !given.includes(name))
    .map((one) => sample(operation, one, there))
  const query = new URLSearchParams([...needed, ...more].map(([name, value]) => [name, value]))
  return `${filled(operation, there)}${query.size === 0 ? '' : `?${query.toString()}`}`
}
