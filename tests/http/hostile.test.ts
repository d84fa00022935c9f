import * as fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { bundleOf, type Json, referralParts } from '../helpers/referral.ts'
import { resources, type TestService, testService, type Who } from '../helpers/service.ts'

// Nothing that a client can send makes the service fail, or leaves a half.

let service: TestService
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

const KEEP = [
  'patient',
  'practitioner',
  'organization',
  'role',
  'coverage',
  'consent',
  'document',
  'referral',
  'task',
  'condition',
  'walking-alone',
  'foot-posture-index.left',
  'foot-length.left',
  'gestational-age',
  'muscle-tone',
]
const original = () =>
  bundleOf(new Map([...referralParts({ key: 'hostile' })].filter(([name]) => KEEP.includes(name))))

type Step = string | number
function places(value: unknown, path: readonly Step[] = []): (readonly Step[])[] {
  if (typeof value !== 'object' || value === null) return [path]
  const below = Object.entries(value).flatMap(([key, member]) =>
    places(member, [...path, Array.isArray(value) ? Number(key) : key]),
  )
  return [path, ...below]
}
const PLACES = places(original()).filter((path) => path.length > 0)

/** Written raw into the JSON, so that numbers keep their digits and texts their escapes. */
const RAW = [
  'null',
  '[]',
  '{}',
  '[null]',
  '[[]]',
  '""',
  '" "',
  'true',
  '0',
  '-0',
  '-1',
  '1e400',
  '-1e400',
  '1E-400',
  '123456789012345678901234567890.123456789',
  '9007199254740993',
  '2147483648',
  '"\\u0000"',
  '"a\\u0000b"',
  '"\\ud800"',
  '"\\udfff\\ud800"',
  '"\\u202e"',
  '"%00"',
  '"identifier=a|%00"',
  '"identifier=https://practice.example/ids|hostile-patient"',
  '"9999-12-31"',
  '"9999-12-31T23:59:60-14:00"',
  '"0001-01-01"',
  '"0001-01-01T00:00:00+14:00"',
  '"2024-02-29"',
  '"1900-01-01"',
  '"2026-03-02T23:59:59.999999999999+14:00"',
  '"Patient/a"',
  '"Patient?identifier=a|b"',
  '"https://other.example/fhir/Patient/a"',
  '"#a"',
  '"urn:uuid:00000000-0000-0000-0000-000000000000"',
  '"POST"',
  '"Observation"',
  '"final"',
  '"active"',
  '"\'; drop table resources; --"',
  '{"resourceType":"Patient"}',
  '{"reference":"Patient/a"}',
  '{"__proto__":{"a":1}}',
  '{"constructor":{"prototype":1},"toString":1,"hasOwnProperty":1}',
  `"${'a'.repeat(100_000)}"`,
  `"${'é'.repeat(3_000)}"`,
  '['.repeat(3_000) + ']'.repeat(3_000),
  '{"extension":['.repeat(40) + '{"url":"a","valueBoolean":true}' + ']}'.repeat(40),
]

const MARK = '«here»'
type Mutation = (holder: Json | unknown[], step: Step, raw: string) => void
const set = (holder: Json | unknown[], step: Step, value: unknown) =>
  Reflect.set(holder, step, value)
const MUTATIONS: Readonly<Record<string, Mutation>> = {
  replace: (holder, step) => set(holder, step, MARK),
  delete: (holder, step) =>
    Array.isArray(holder) ? holder.splice(Number(step), 1) : Reflect.deleteProperty(holder, step),
  duplicate: (holder, step) =>
    Array.isArray(holder)
      ? holder.push(Reflect.get(holder, step))
      : set(holder, `${String(step)}2`, Reflect.get(holder, step)),
  wrap: (holder, step) => set(holder, step, [Reflect.get(holder, step)]),
  twin: (holder, step) => set(holder, `_${String(step)}`, MARK),
  add: (holder, step) => set(Object(Reflect.get(holder, step)) as Json, 'extension', MARK),
}

function mutated(changes: readonly (readonly [readonly Step[], string, string])[]): string {
  let body: unknown = original()
  let text = JSON.stringify(body)
  for (const [path, kind, raw] of changes) {
    body = JSON.parse(text.replaceAll(`"${MARK}"`, '"marked"'))
    const holder = path
      .slice(0, -1)
      .reduce<unknown>((at, step) => Reflect.get(Object(at), step), body)
    if (typeof holder !== 'object' || holder === null) continue
    MUTATIONS[kind]?.(holder as Json, path.at(-1) ?? '', raw)
    text = JSON.stringify(body).replaceAll(`"${MARK}"`, () => raw)
    if (!isJson(text)) return text
    if (raw.includes('e400') || raw.includes('\\u')) return text
  }
  return text
}
function isJson(text: string): boolean {
  try {
    JSON.parse(text)
    return true
  } catch {
    return false
  }
}

const change = fc.tuple(
  fc.constantFrom(...PLACES),
  fc.constantFrom(...Object.keys(MUTATIONS)),
  fc.constantFrom(...RAW),
)

const count = async (clinicId: string) => {
  const [row] = await service.sql<{ versions: number; rows: number; tasks: number }>(
    `select (select count(*) from resource_versions where clinic_id = $1 and type <> 'AuditEvent')::int as versions,
      ((select count(*) from resources where clinic_id = $1 and type <> 'AuditEvent')
        + (select count(*) from index_tokens where clinic_id = $1 and type <> 'AuditEvent')
        + (select count(*) from index_references where clinic_id = $1 and type <> 'AuditEvent')
        + (select count(*) from index_strings where clinic_id = $1 and type <> 'AuditEvent')
        + (select count(*) from idempotent_answers where clinic_id = $1))::int as rows,
      (select count(*) from resources where clinic_id = $1 and type = 'Task')::int as tasks`,
    [clinicId],
  )
  return row
}

test('no change of a referral makes the service fail or store a half', async () => {
  let refused = 0
  await fc.assert(
    fc.asyncProperty(fc.array(change, { minLength: 1, maxLength: 2 }), async (changes) => {
      const body = mutated(changes)
      const { partner: sender } = await service.clinic()

      const answer = await service.send(sender, { method: 'POST', url: '/fhir', body })

      expect(answer.status, answer.text.slice(0, 300)).toBeLessThan(500)
      if (answer.status === 200) return
      refused += 1
      expect(answer.status).toBeGreaterThanOrEqual(400)
      expect(answer.json).toMatchObject({ resourceType: 'OperationOutcome' })
      expect(await count(sender.clinicId)).toEqual({ versions: 0, rows: 0, tasks: 0 })
    }),
    { numRuns: 300 },
  )
  expect(refused).toBeGreaterThan(60)
}, 120_000)

const NASTY = [
  '',
  '%00',
  'a%00b',
  '%ED%A0%80',
  '%',
  '%zz',
  '%F0%9F%91%A3',
  "'; drop table resources; --",
  '1) or true --',
  '%25_%5C',
  '%5C',
  'a%5Cb',
  '$1',
  '%7C',
  '%7C%7C%7C',
  'Patient/',
  'Patient/a/_history/1',
  'https://other.example/fhir/Patient/a',
  '0000',
  '9999',
  '9999-12-31',
  'lt0001-01-01T00:00:00%2B14:00',
  'ap2013',
  '2013-02-30',
  '2013-01-01T24:00',
  'le2013-01-01T10:00:00.123456789123Z',
  '-1',
  '1e9',
  '99999999999999999999',
  'a'.repeat(5_000),
  ','.repeat(500),
  'a,'.repeat(500),
  'MDAwMC0wMS0wMVQwMDowMDowMFp-YQ',
  'OTk5OS05OS05OVQwMDowMDowMC4wMDBafmE',
]
const NAMES = [
  '_id',
  '_lastUpdated',
  '_count',
  '_cursor',
  '_format',
  'patient',
  'code',
  'status',
  'category',
  'identifier',
  'date',
  'derived-from',
  'family',
  'birthdate',
  'name:exact',
  'patient:Patient',
  '%00',
  '__proto__',
  'constructor',
  '',
]

test.each(['Patient', 'Observation', 'Task'])(
  'an identifier of commas alone is none of a %s',
  async (type) => {
    const staff = await service.who({ clinicId: partner.clinicId })
    for (const who of [staff, partner]) {
      const found = await service.send(who, { url: `/fhir/${type}?identifier=,,` })
      expect([found.status, resources(found)]).toEqual([200, []])
    }
  },
)

test('no search makes the service fail', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom('Patient', 'Observation', 'Task', 'Provenance'),
      fc.array(fc.tuple(fc.constantFrom(...NAMES), fc.constantFrom(...NASTY)), {
        minLength: 1,
        maxLength: 3,
      }),
      fc.boolean(),
      async (type, pairs, form) => {
        const query = pairs.map((pair) => pair.join('=')).join('&')

        const answer = await service.send(
          partner,
          form
            ? {
                method: 'POST',
                url: `/fhir/${type}/_search`,
                body: query,
                headers: { 'content-type': 'application/x-www-form-urlencoded' },
              }
            : { url: `/fhir/${type}?${query}` },
        )

        expect(answer.status, `${query} ${answer.text.slice(0, 300)}`).toBeLessThan(500)
      },
    ),
    { numRuns: 400 },
  )
}, 60_000)

test.each(['%00', 'identifier=a|%00', 'identifier=|', `identifier=${'a'.repeat(900)}|b`, 'name=a'])(
  'If-None-Exist %s does not make the service fail',
  async (condition) => {
    const answer = await service.send(partner, {
      method: 'POST',
      url: '/fhir/Organization',
      body: { resourceType: 'Organization', name: 'An invented practice' },
      headers: { 'if-none-exist': condition },
    })

    expect(answer.status).toBeLessThan(500)
  },
)

test.each([
  '/fhir/Patient/%00',
  '/fhir/Patient/a%2Fb',
  '/fhir/%00',
  '/fhir/Patient/a/_history/%00',
])('the address %s does not make the service fail', async (url) => {
  const { status } = await service.send(partner, { url })

  expect([400, 404]).toContain(status)
})
