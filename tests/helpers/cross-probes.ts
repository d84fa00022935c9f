import { parseText } from '../../src/fhir/json-body.ts'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { searchValues } from '../../src/fhir/search-values.ts'
import type { Dice } from './any-request.ts'
import type { Compartment, Planted } from './compartments.ts'
import { ownExamples } from './own-examples.ts'
import { observed } from './referral.ts'
import type { Sent } from './service.ts'

// Requests that try to reach what somebody else has, by every way there is; the same for the same dice.

/** What a probe may name of the compartment that it is after. */
export interface Goal extends Planted {
  readonly canary: string
  /** Of one of a type in the same compartment. */
  readonly idOf: (type: string) => string
  readonly patient: string
  readonly referral: string
  readonly group: string
  readonly baseUrl: string
}

/** What was made in the compartment and may be tried by others. */
export interface Loot {
  readonly exportIds: readonly string[]
  /** Links to next pages of searches and histories, below the base. */
  readonly cursors: readonly string[]
  readonly keys: readonly string[]
}

const ROWS = REGISTRY.filter(({ published, type }) => published !== true && type !== 'AuditEvent')
interface ReferenceName {
  readonly type: string
  readonly code: string
  readonly targets: readonly string[]
}
const REFERENCES: readonly ReferenceName[] = ROWS.flatMap(({ type, search }) =>
  search
    .filter(({ kind }) => kind === 'reference')
    .map(({ code, atoms }) => ({
      type,
      code,
      targets: atoms.flatMap(({ targets }) => targets),
    })),
)
const isObject = (value: unknown): value is object => typeof value === 'object' && value !== null
const leadsTo = (targets: readonly string[], type: string) =>
  targets.length === 0 || targets.includes(type)
/** Those by which one of the invented resources does refer to another. */
const LINKS: readonly (ReferenceName & { readonly target: string })[] = ownExamples().flatMap(
  ({ type, text }) => {
    const row = ROWS.find((one) => one.type === type)
    const parsed = parseText(text)
    if (row === undefined || !parsed.ok || !isObject(parsed.value)) return []
    const base = { type, id: 'x', baseUrl: 'https://x.example' }
    const { references } = searchValues(base, parsed.value)
    return row.search
      .filter(({ kind }) => kind === 'reference')
      .flatMap(({ code, atoms }) =>
        references
          .filter(({ path, targetType }) =>
            atoms.some((atom) => atom.path === path && leadsTo(atom.targets, targetType)),
          )
          .map(({ targetType: target }) => ({ type, code, targets: [target], target })),
      )
  },
)
/** Mostly one that leads somewhere, sometimes any there is. */
const referenceName = (dice: Dice): ReferenceName =>
  dice.chance(4) ? dice.of(REFERENCES) : dice.of(LINKS)
const TEXTS = ROWS.flatMap(({ type, search }) =>
  search
    .filter(({ kind }) => kind === 'string')
    .map(({ code }) => ({ type: type as string, code })),
)

export function goalIn(compartment: Compartment, dice: Dice): Goal {
  const { planted, canary, baseUrl } = compartment
  const idOf = (type: string) => planted.get(type)?.id ?? '00000000-0000-4000-8000-000000000000'
  const some = dice.of([...planted.values()])
  // The audit of calls grows with every one of these, and is asked for less.
  if (some.type === 'AuditEvent' && !dice.chance(20)) return goalIn(compartment, dice)
  return {
    ...some,
    idOf,
    canary,
    baseUrl,
    patient: idOf('Patient'),
    referral: idOf('ServiceRequest'),
    group: idOf('Group'),
  }
}

const FORM = { 'content-type': 'application/x-www-form-urlencoded' }
const get = (url: string, headers?: Record<string, string>): Sent => ({
  url: `/fhir/${url}`,
  ...(headers === undefined ? {} : { headers }),
})
const bundle = (type: 'batch' | 'transaction', entry: readonly unknown[]): Sent => ({
  method: 'POST',
  url: '/fhir',
  body: { resourceType: 'Bundle', type, entry },
})

type Way = (goal: Goal, dice: Dice, loot: Loot) => Sent

const END = ['', '', '', '&_count=1', '&_total=accurate', '&_summary=count', '&_elements=id']
const byReference: Way = ({ idOf, baseUrl }, dice) => {
  const { type: from, code, targets } = referenceName(dice)
  const type = dice.of(targets.length > 0 ? targets : ['Patient'])
  const id = idOf(type)
  const as = dice.of([`${type}/${id}`, id, `${baseUrl}/${type}/${id}`, `${type}/${id}/_history/1`])
  const modifier = dice.of(['', '', `:${type}`])
  return get(`${from}?${code}${modifier}=${as}${dice.of(END)}`)
}

const searched = (type: string, { idOf, canary }: Goal, dice: Dice): string => {
  const text = TEXTS.filter((one) => one.type === type)
  return dice.of([
    `_id=${idOf(type)}`,
    `identifier=${canary}`,
    ...(text.length === 0 ? [] : [`${dice.of(text).code}${dice.of(['', ':contains'])}=${canary}`]),
  ])
}

/** Which names of types lead on to which parameter. */
const chain: Way = (goal, dice) => {
  const { type: from, code, targets } = referenceName(dice)
  const target = dice.of(targets.length > 0 ? targets : ['Patient'])
  const further = LINKS.filter(({ type }) => type === target)
  if (further.length > 0 && dice.chance(4)) {
    const next = dice.of(further)
    const last = searched(next.target, goal, dice)
    return get(`${from}?${code}:${target}.${next.code}:${next.target}.${last}${dice.of(END)}`)
  }
  return get(`${from}?${code}:${target}.${searched(target, goal, dice)}${dice.of(END)}`)
}

const has: Way = (goal, dice) => {
  const { type: from, code, targets } = referenceName(dice)
  const target = dice.of(targets.length > 0 ? targets : ['Patient'])
  const also = dice.chance(3) ? `&_id=${goal.idOf(target)}` : ''
  return get(`${target}?_has:${from}:${code}:${searched(from, goal, dice)}${also}${dice.of(END)}`)
}

const include: Way = ({ idOf }, dice) => {
  const { type: from, code, targets } = referenceName(dice)
  const target = dice.of(targets.length > 0 ? targets : ['Patient'])
  const further = dice.of(LINKS)
  const more = dice.of(['', '', `&_include:iterate=${further.type}:${further.code}`])
  const filter = (type: string) => dice.of([`_id=${idOf(type)}`, '_lastUpdated=ge2000'])
  return dice.chance(2)
    ? get(`${from}?${filter(from)}&_include=${from}:${code}${more}&_count=5`)
    : get(`${target}?${filter(target)}&_revinclude=${from}:${code}${more}&_count=5`)
}

const byText: Way = ({ canary }, dice) => {
  const { type, code } = dice.of(TEXTS)
  return get(`${type}?${code}${dice.of(['', ':contains', ':exact'])}=${canary}${dice.of(END)}`)
}

const byIdentifier: Way = ({ type, id, canary }, dice) =>
  get(
    `${type}?${dice.of([
      `_id=${id}`,
      `identifier=${canary}`,
      `identifier=urn:example:invented:patient|${canary}`,
      `_lastUpdated=ge2000&_id=${id}`,
      `_id=${id}&_sort=-_lastUpdated`,
    ])}${dice.of(END)}`,
  )

/** A child of whom only the name and the identifier are known. */
const childNamed = (canary: string) => ({
  resourceType: 'Patient',
  identifier: [{ system: 'urn:example:invented:patient', value: canary }],
  name: [{ family: canary }],
  birthDate: '2024-02-01',
})

const direct: Way = ({ type, id, canary, patient, referral, group }, dice) =>
  dice.of<Sent>([
    get(`${type}/${id}`, { accept: 'application/fhir+json' }),
    get(`${type}/${id}/_history`),
    get(`${type}/${id}/_history/${dice.of(['1', '2', '99'])}`),
    get(`${type}/${id}`, { 'if-none-match': 'W/"1"' }),
    get(`${type}/${id}`, { 'if-modified-since': 'Wed, 21 Oct 2099 07:28:00 GMT' }),
    { method: 'HEAD', url: `/fhir/${type}/${id}` },
    get(`${type}/${id}/$validate`),
    { method: 'POST', url: `/fhir/${type}/${id}/$validate?mode=delete` },
    get(`Patient/${patient}/$everything?_count=${dice.of(['1', '50'])}`),
    get(`Patient/${patient}/${dice.of(['*', 'Observation', 'Task', type])}`),
    get(`Patient/${patient}/${type}?_id=${id}`),
    get(`Group/${group}/$export`),
    { method: 'POST', url: `/fhir/ServiceRequest/${referral}/$triage` },
    get(`ServiceRequest/${referral}/$fitting-plan?asOf=2026-03-02`),
    get(`ServiceRequest/${referral}/$follow-up`),
    get(`ServiceRequest/${referral}/$chart?kind=urgency`),
    get(`Patient/${patient}/$chart?kind=urgency`),
    get(`Library/${id}/$what-if`),
    { method: 'POST', url: '/fhir/Patient/$match?count=5', body: childNamed(canary) },
  ])

/** Pages of what is the caller's own, in which nothing else may be. */
const lists: Way = ({ type, patient }, dice) =>
  get(
    dice.of([
      `${type}?_count=3`,
      `${type}/_history?_count=3`,
      '_history?_count=3',
      'Patient/$everything?_count=3',
      `?_type=${type},Patient&_count=3`,
      `${type}?_count=0`,
      `${type}?_count=3&_include=*&_revinclude=*`,
      `Patient?_id=${patient}&_revinclude=Observation:patient&_revinclude=Provenance:target`,
    ]),
  )

const form: Way = (goal, dice, loot) => {
  const { url } = dice.of([byReference, chain, has, byText, byIdentifier])(goal, dice, loot)
  const [path = '', query = ''] = url.split('?')
  return { method: 'POST', url: `${path}/_search`, headers: FORM, body: query }
}

/** Nothing that would be kept: each of them names what the caller does not see. */
const writes: Way = ({ type, id, patient, canary, baseUrl }, dice) => {
  const subject = { reference: dice.of([`Patient/${patient}`, `${baseUrl}/Patient/${patient}`]) }
  const fact = { ...observed('muscle-tone', '2026-03-01', {}), subject }
  const condition = dice.of([`_id=${id}`, `identifier=urn:x|${canary}`])
  return dice.of<Sent>([
    { method: 'POST', url: '/fhir/Observation', body: fact },
    bundle('transaction', [{ resource: fact, request: { method: 'POST', url: 'Observation' } }]),
    bundle('batch', [{ resource: fact, request: { method: 'POST', url: 'Observation' } }]),
    bundle('transaction', [
      {
        resource: { ...fact, subject: { reference: `Patient?_id=${patient}` } },
        request: { method: 'POST', url: 'Observation' },
      },
    ]),
    {
      method: 'PUT',
      url: `/fhir/Organization/${id}`,
      body: { resourceType: 'Organization', id, name: 'x' },
    },
    { method: 'DELETE', url: `/fhir/${type}/${id}` },
    {
      method: 'DELETE',
      url: `/fhir/${type}/${id}`,
      headers: { 'if-match': dice.of(['W/"1"', '*']) },
    },
    { method: 'DELETE', url: `/fhir/${type}?${condition}` },
    {
      method: 'PATCH',
      url: `/fhir/${type}${dice.of([`/${id}`, `?${condition}`])}`,
      headers: { 'content-type': 'application/json-patch+json', 'if-match': 'W/"1"' },
      body: [{ op: 'add', path: '/language', value: 'en' }],
    },
    bundle(dice.of(['batch', 'transaction']), [
      { request: { method: dice.of(['GET', 'DELETE', 'HEAD']), url: `${type}/${id}` } },
    ]),
    bundle('batch', [
      { request: { method: 'GET', url: `${type}?_id=${id}` } },
      { request: { method: 'GET', url: `${type}/${id}/_history/1` } },
      { request: { method: 'GET', url: `Observation?patient=${patient}&_include=*` } },
      { request: { method: 'GET', url: `${type}/${id}`, ifNoneMatch: 'W/"1"' } },
    ]),
  ])
}

/** Kept in the caller's own compartment, as if the other one were not there. */
const conditional: Way = ({ id, canary }, dice) => {
  const body = { resourceType: 'Organization', name: 'An invented practice' }
  const condition = dice.of([`_id=${id}`, `identifier=urn:x|${canary}`, `name=${canary}`])
  return dice.of<Sent>([
    { method: 'POST', url: '/fhir/Organization', body, headers: { 'if-none-exist': condition } },
    { method: 'PUT', url: `/fhir/Organization?${condition}`, body },
  ])
}

const looted: Way = ({ type }, dice, { exportIds, cursors, keys }) => {
  const exportId = dice.of(exportIds)
  return dice.of<Sent>([
    get(`$export-status/${exportId}`),
    get(`$export-file/${exportId}/${type}.ndjson`),
    { method: 'DELETE', url: `/fhir/$export-status/${exportId}` },
    { url: dice.of(cursors) },
    { url: dice.of(cursors) },
    {
      ...bundle('transaction', [{ request: { method: 'GET', url: `${type}?_count=1` } }]),
      headers: { 'idempotency-key': dice.of(keys) },
    },
  ])
}

const exported: Way = ({ type, id, patient }, dice) =>
  get(
    dice.of([
      `$export?_type=${type}`,
      `$export?_type=${type}&_typeFilter=${encodeURIComponent(`${type}?_id=${id}`)}`,
      `Patient/$export?_type=Observation&patient=Patient/${patient}`,
    ]),
  )

const WAYS: readonly (readonly [number, Way])[] = [
  [5, byReference],
  [4, chain],
  [4, has],
  [4, include],
  [3, byText],
  [4, byIdentifier],
  [6, direct],
  [1, lists],
  [3, form],
  [5, writes],
  [3, looted],
]
const WEIGHED = WAYS.flatMap(([weight, way]) => Array.from({ length: weight }, () => way))
const RARE = [conditional, exported]

/** A request that is after what stands in the goal's compartment. */
export function probe(goal: Goal, dice: Dice, loot: Loot): Sent {
  return (dice.chance(100) ? dice.of(RARE) : dice.of(WEIGHED))(goal, dice, loot)
}
