import { readdirSync, readFileSync } from 'node:fs'
import { pino } from 'pino'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { testService, type TestService, type Who } from '../helpers/service.ts'

// What is written into the log while the children of the seeds go through the service, and much goes wrong.

const SEEDS = new URL('../../seeds/', import.meta.url)
const files = readdirSync(SEEDS).filter((file) => /^(?!scenario).*\.json$/.test(file))
const seeds = files.map((file) => readFileSync(new URL(file, SEEDS), 'utf8'))

/** Elements that say who somebody is; codes and systems say nothing about a child. */
const TELLING = new Set(['family', 'given', 'text', 'line', 'city', 'postalCode', 'birthDate'])
function telling(value: unknown, name = ''): string[] {
  if (typeof value === 'string') return TELLING.has(name) ? [value] : []
  if (typeof value !== 'object' || value === null) return []
  const own = Object.entries(value).flatMap(([key, member]) =>
    telling(member, Array.isArray(value) ? name : key),
  )
  const identified =
    'system' in value && 'value' in value && typeof value.value === 'string' ? [value.value] : []
  return [...own, ...identified]
}
const SAID = [...new Set(seeds.flatMap((text) => telling(JSON.parse(text))))].filter(
  ({ length }) => length > 3,
)

const canaries: string[] = []
/** A word that stands nowhere else. */
const canary = (): string => {
  const word = `Canary${String(canaries.length).padStart(3, '0')}Bird`
  canaries.push(word)
  return word
}

const lines: string[] = []
let service: TestService
let partner: Who
let staff: Who
let sent = 0

beforeAll(async () => {
  service = await testService({
    logger: pino({ level: 'trace' }, { write: (line: string) => lines.push(line) }),
  })
  // The day that the seeds are written for.
  service.clock.set('2026-06-15T12:00:00.000Z')
  ;({ partner, staff } = await service.clinic())
  return service.close
})
afterAll(() => {
  console.info(`${sent} requests, ${lines.length} lines, ${canaries.length} canaries`)
})

const ask = async (who: Who | undefined, asked: Parameters<TestService['send']>[1]) => {
  sent += 1
  return service.send(who, asked)
}

test('the six children go through', async () => {
  expect(files).toHaveLength(6)
  for (const body of seeds) {
    const { status } = await ask(partner, { method: 'POST', url: '/fhir', body })
    expect(status).toBe(200)
  }
  for (const name of SAID.slice(0, 40)) {
    await ask(staff, { url: `/fhir/Patient?name=${encodeURIComponent(name)}` })
    await ask(staff, { url: `/fhir/Patient?identifier=${encodeURIComponent(name)}` })
    await ask(staff, { url: `/fhir/Patient/${encodeURIComponent(name)}` })
  }
})

/** Where a caller may write a word, each with an answer that refuses or takes it. */
const PLACES: readonly ((word: string) => Parameters<TestService['send']>[1])[] = [
  (word) => ({ url: `/fhir/${word}` }),
  (word) => ({ url: `/fhir/Patient/${word}` }),
  (word) => ({ url: `/fhir/Patient/a/_history/${word}` }),
  (word) => ({ url: `/fhir/Patient/a/$${word}` }),
  (word) => ({ url: `/${word}/%` }),
  (word) => ({ url: `/fhir/%E0%A4%A/${word}` }),
  (word) => ({ url: `/fhir/Patient?family=${word}` }),
  (word) => ({ url: `/fhir/Patient?${word}=a` }),
  (word) => ({ url: `/fhir/Patient?birthdate=${word}`, headers: { prefer: 'handling=strict' } }),
  (word) => ({ url: `/fhir/Patient?_cursor=${word}` }),
  (word) => ({ url: '/fhir/Patient', headers: { accept: word } }),
  (word) => ({ url: '/fhir/Patient', headers: { authorization: `Basic ${word}` } }),
  (word) => ({ url: '/fhir/Patient', headers: { authorization: `Bearer a.${word}.c` } }),
  (word) => ({ url: '/fhir/Patient', headers: { 'purpose-of-use': word } }),
  (word) => ({ url: '/fhir/Patient', headers: { 'x-request-id': `a ${word}` } }),
  (word) => ({
    url: '/fhir/Patient',
    headers: { 'user-agent': word, referer: word, cookie: word },
  }),
  (word) => ({ url: '/fhir/Patient', headers: { 'x-forwarded-for': word, forwarded: word } }),
  (word) => ({ method: 'POST', url: '/fhir/Patient', body: `{"${word}":` }),
  (word) => ({ method: 'POST', url: '/fhir/Patient', body: `{"resourceType":"${word}"}` }),
  (word) => ({
    method: 'POST',
    url: '/fhir/Organization',
    body: { resourceType: 'Organization', name: word },
  }),
  (word) => ({
    method: 'POST',
    url: '/fhir/Organization',
    body: { resourceType: 'Organization', name: 'a', [word]: word },
  }),
  (word) => ({
    method: 'POST',
    url: '/fhir/Organization',
    body: { resourceType: 'Organization', name: 'a' },
    headers: { 'if-none-exist': `${word}=${word}` },
  }),
  (word) => ({
    method: 'PUT',
    url: '/fhir/Patient/a',
    body: '{}',
    headers: { 'if-match': word },
  }),
  (word) => ({
    method: 'POST',
    url: '/fhir',
    body: {
      resourceType: 'Bundle',
      type: 'batch',
      entry: [{ request: { method: 'GET', url: word } }],
    },
    headers: { 'idempotency-key': word },
  }),
  (word) => ({
    method: 'POST',
    url: '/fhir/Patient/_search',
    body: `${word}=${word}`,
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
  }),
  (word) => ({
    method: 'POST',
    url: '/oauth/token',
    body: `grant_type=client_credentials&client_assertion=${word}&scope=${word}&client_id=${word}`,
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
  }),
  (word) => ({
    method: 'PATCH',
    url: '/fhir/Patient/a',
    body: [{ op: 'replace', path: `/${word}`, value: word }],
    headers: { 'content-type': 'application/json-patch+json' },
  }),
  (word) => ({
    method: 'POST',
    url: '/fhir/Binary',
    body: word,
    headers: { 'content-type': `text/${word}` },
  }),
]

test('more than fifty words are sent, in addresses, queries, headers, tokens and bodies', async () => {
  for (const place of PLACES)
    for (const who of [partner, staff]) {
      const { headers, ...asked } = place(canary())
      const { status } = await ask(who, headers === undefined ? asked : { ...asked, headers })
      expect(status).toBeLessThan(500)
    }

  expect(canaries.length).toBeGreaterThanOrEqual(50)
})

test('what fails inside is written without what was sent', async () => {
  await service.sql('alter table resource_versions rename to hidden_for_a_test')
  const word = canary()
  const { status } = await ask(partner, {
    method: 'POST',
    url: '/fhir/Organization',
    body: { resourceType: 'Organization', name: word },
  })
  await service.sql('alter table hidden_for_a_test rename to resource_versions')

  expect(status).toBe(500)
  expect(lines.join('')).toContain('request failed')
})

test('no name, identifier, birth date, address, token or canary of all this is in the log', () => {
  const log = lines.join('')
  const found = (words: readonly string[]) =>
    words.filter((word) => log.includes(word) || log.includes(JSON.stringify(word).slice(1, -1)))

  expect(lines.length).toBeGreaterThan(sent - 10)
  expect(SAID.length).toBeGreaterThan(50)
  expect(found(SAID)).toEqual([])
  expect(found(canaries)).toEqual([])
  expect(found([partner.token, staff.token, 'Bearer ', 'client_assertion'])).toEqual([])
})

test('each line is one JSON object: what was sent breaks none and adds none', async () => {
  const before = lines.length
  await ask(partner, { url: '/fhir/Patient', headers: { 'x-request-id': 'a"},{"level":60' } })
  await ask(partner, { url: '/fhir/%0d%0a%7B%22level%22%3A60%7D?a=%0d%0a' })

  // The service itself may write a line meanwhile, of a checkpoint.
  expect(lines.slice(before).filter((line) => line.includes('"msg":"answered"'))).toHaveLength(2)
  for (const line of lines) {
    expect(line.match(/[\r\n]/g)).toEqual(['\n'])
    expect(() => JSON.parse(line) as unknown).not.toThrow()
  }
})
