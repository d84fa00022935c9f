import type { InjectOptions } from 'fastify'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { ownExamples } from './own-examples.ts'

// Requests that no honest client sends, the same for the same seed.

/** A small generator of numbers (mulberry32): the same seed, the same requests. */
export class Dice {
  private state: number

  constructor(seed: number) {
    this.state = seed
  }

  below(limit: number): number {
    this.state = (this.state + 0x6d2b79f5) | 0
    let t = Math.imul(this.state ^ (this.state >>> 15), 1 | this.state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) % limit
  }

  of<T>(values: readonly T[]): T {
    const value = values[this.below(values.length)]
    if (value === undefined) throw new Error('There is nothing to choose from')
    return value
  }

  chance(oneIn: number): boolean {
    return this.below(oneIn) === 0
  }
}

const TYPES: readonly string[] = [
  ...REGISTRY.map(({ type }) => type),
  'Medication',
  'patient',
  '%00',
  '..',
]
const EXAMPLES = ownExamples().map(({ text }) => text)

const ODD_TEXTS = [
  '',
  ' ',
  '\u0000',
  '\ud800',
  '😀',
  'a'.repeat(5_000),
  '%',
  '%zz',
  '%00',
  '%ff%fe',
  "'; drop table resources; --",
  '${x}',
  '../..',
  '\\',
  '\\,',
  ',,,',
  '|',
  '||',
  'a|b|c',
  '$',
  'a$b$c',
  '<script>',
  '__proto__',
  'constructor',
  '9'.repeat(400),
  '-1',
  '1e400',
  '1E-500',
  '0x10',
  'NaN',
  'null',
  '2024-02-30',
  '2024-13',
  '9999-12-31T23:59:60Z',
  'ge',
  'ap1',
  'eq2024-01-01T00:00:00+14:00',
  'Patient/',
  'Patient/a/_history/0',
  '#',
  'urn:uuid:',
  'http://[',
  '*',
]
const NAMES = [
  ...new Set(REGISTRY.flatMap(({ search }) => search.map(({ code }) => code))),
  '_id',
  '_lastUpdated',
  '_count',
  '_sort',
  '_include',
  '_revinclude',
  '_summary',
  '_elements',
  '_total',
  '_has',
  '_type',
  '_cursor',
  '_query',
  '_filter',
  '_text',
  '_since',
  '_at',
  '_format',
  '_pretty',
  'name:unknown',
  ':',
  '_has:Observation:patient:code',
]
const MODIFIERS = [
  '',
  '',
  '',
  ':exact',
  ':missing',
  ':not',
  ':in',
  ':of-type',
  ':identifier',
  ':Patient',
  ':below',
  ':contains',
  '.name',
  ':iterate',
]
const HEADERS: readonly (readonly [string, readonly string[]])[] = [
  ['if-match', ['W/"1"', '"1"', '*', 'x', 'W/"99999999999999999999"', '']],
  ['if-none-match', ['W/"1"', '*', 'x']],
  ['if-none-exist', ['identifier=a|b', 'x', '', '_id=a', 'name=a&name=b', '\\']],
  ['if-modified-since', ['x', 'Wed, 21 Oct 2099 07:28:00 GMT']],
  ['prefer', ['return=minimal', 'handling=strict', 'respond-async', 'return=x', '=;,']],
  [
    'accept',
    [
      'application/fhir+xml',
      'text/html',
      '*/*',
      'application/json;q=x',
      ',',
      'application/fhir+json; fhirVersion=3.0',
    ],
  ],
  [
    'content-type',
    [
      'application/fhir+json',
      'application/json',
      'application/json-patch+json',
      'text/plain',
      'application/fhir+xml',
      'application/x-www-form-urlencoded',
      'application/json; charset=utf-16',
      'x',
    ],
  ],
  ['idempotency-key', ['a', 'x'.repeat(300)]],
  ['x-request-id', ['a', '\tb', 'x'.repeat(200)]],
]

/** A JSON text changed somewhere: of another type, doubled, nested, cut off. */
function spoiled(text: string, dice: Dice): string {
  const at = dice.below(text.length)
  const odd = [
    '',
    'null',
    '[]',
    '{}',
    '[[[[]]]]',
    '"\\u0000"',
    '"\\ud800"',
    '1e400',
    '-0',
    '9007199254740993',
    '0.1e-500',
    '"__proto__":{"x":1},',
    '"id":"a","id":"b",',
    '[1,2',
    '}',
    '"',
    '\u0000',
    '{"a":'.repeat(200),
    '['.repeat(3_000),
    `[${'1,'.repeat(2_000)}1]`,
    'true',
    '\ufeff',
  ]
  switch (dice.below(6)) {
    case 0:
      return text.slice(0, at) + dice.of(odd) + text.slice(at)
    case 1:
      return text.slice(0, at)
    case 2:
      return text.replace(/"[^"]*"/g, (part) => (dice.chance(6) ? dice.of(odd) : part))
    case 3:
      return text.replace(/:"[^"]*"/g, (part) =>
        dice.chance(4) ? `:${JSON.stringify(dice.of(ODD_TEXTS))}` : part,
      )
    case 4:
      return text.replace(/\[/g, () => (dice.chance(3) ? '[[' : '['))
    default:
      return dice.of(odd)
  }
}

function bodyOf(dice: Dice): string | Buffer {
  const example = dice.of(EXAMPLES)
  const kind = dice.below(10)
  if (kind === 0) return Buffer.from([0xff, 0xfe, 0x00, 0x80, 0xc3, 0x28])
  if (kind === 1) return ''
  if (kind === 2) return example
  const entry = (method: string) =>
    `{"fullUrl":${JSON.stringify(dice.of(ODD_TEXTS))},"resource":${example},"request":{"method":"${method}","url":${JSON.stringify(pathOf(dice))}}}`
  if (kind === 3)
    return spoiled(
      `{"resourceType":"Bundle","type":"${dice.of(['transaction', 'batch', 'history', 'x'])}","entry":[${entry(dice.of(['POST', 'PUT', 'DELETE', 'GET', 'PATCH', 'HEAD']))},${entry('POST')}]}`,
      dice,
    )
  if (kind === 4)
    return spoiled(
      `[{"op":"${dice.of(['add', 'remove', 'test', 'move', 'copy', 'x'])}","path":${JSON.stringify(dice.of(['/a', '/name/0', '/-', '', 'x', '/__proto__']))},"from":"/id","value":${dice.of(EXAMPLES)}}]`,
      dice,
    )
  if (kind === 5)
    return spoiled(
      `{"resourceType":"Parameters","parameter":[{"name":"operation","part":[{"name":"type","valueCode":"${dice.of(['add', 'delete', 'replace', 'x'])}"},{"name":"path","valueString":${JSON.stringify(dice.of(['Patient.name', 'Patient.(', 'x', 'Patient.name.repeat(x)']))}},{"name":"name","valueString":"active"},{"name":"value","valueBoolean":true}]}]}`,
      dice,
    )
  return spoiled(example, dice)
}

function pathOf(dice: Dice): string {
  const type = dice.of(TYPES)
  const id = dice.of([
    'a',
    '1',
    'A-b.c',
    'x'.repeat(65),
    '%20',
    '_x',
    '',
    dice.of(ODD_TEXTS.slice(6, 12)),
  ])
  return dice.of([
    type,
    `${type}/${id}`,
    `${type}/${id}/_history`,
    `${type}/${id}/_history/${id}`,
    `${type}/_history`,
    `${type}/_search`,
    `${type}/$validate`,
    `${type}/${id}/$validate`,
    `Patient/${id}/$everything`,
    `Patient/${id}/${type}`,
    `Patient/${id}/*`,
    '$export',
    `Group/${id}/$export`,
    `$export-status/${id}`,
    `$export-file/${id}/${type}.ndjson`,
    'metadata',
    '_history',
    '',
    `ServiceRequest/${id}/$triage`,
    `ServiceRequest/${id}/$fitting-plan`,
    `ServiceRequest/${id}/$chart?kind=urgency`,
    `Patient/${id}/$chart?kind=urgency`,
    `Library/${id}/$what-if`,
    'Patient/$match',
    `${type}//${id}`,
    '%2e%2e',
  ])
}

/** One request below the FHIR base. */
export function anyRequest(dice: Dice, token: string): InjectOptions {
  const method = dice.of([
    'GET',
    'GET',
    'GET',
    'POST',
    'POST',
    'PUT',
    'PATCH',
    'DELETE',
    'HEAD',
    'OPTIONS',
  ] as const)
  const parameters = Array.from({ length: dice.below(4) }, () => {
    const value = dice.of(ODD_TEXTS)
    const text = dice.chance(3)
      ? value.replaceAll(/[^\x21-\x7e]/g, '')
      : encodeURIComponent(value.replaceAll(/\p{Surrogate}/gu, ''))
    return `${dice.of(NAMES)}${dice.of(MODIFIERS)}=${text.replaceAll('#', '%23')}`
  })
  const headers: Record<string, string> = { authorization: `Bearer ${token}` }
  for (const [name, values] of HEADERS) if (dice.chance(4)) headers[name] = dice.of(values)
  if (headers['content-type'] === undefined) headers['content-type'] = 'application/fhir+json'
  const query = parameters.length === 0 ? '' : `?${parameters.join('&')}`
  const hasBody = method === 'POST' || method === 'PUT' || method === 'PATCH'
  if (method === 'POST' && dice.chance(2)) {
    // Nearly what an honest client sends: a resource at the address of its type, a little spoiled.
    const example = dice.of(EXAMPLES)
    const type = /"resourceType":\s*"(\w+)"/.exec(example)?.[1] ?? ''
    const payload = dice.chance(3) ? example : spoiled(example, dice)
    return { method, url: `/fhir/${type}`, headers, payload }
  }
  return {
    method,
    url: `/fhir/${pathOf(dice)}${query}`,
    headers,
    ...(hasBody ? { payload: bodyOf(dice) } : {}),
  }
}
