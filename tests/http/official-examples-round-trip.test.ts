import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { officialExamples } from '../helpers/r4-cases.ts'
import {
  changedText,
  content,
  expected,
  mayDo,
  pointingElsewhere,
  type RoundTrip,
  roundTrip,
  typeOf,
} from '../helpers/round-trip.ts'
import { type Answer, issues, testService } from '../helpers/service.ts'

// The official examples of R4 are created, read, found, updated and deleted, and keep every digit.

let as: RoundTrip

beforeAll(async () => {
  const service = await testService()
  as = roundTrip(service, (await service.clinic()).staff)
  return service.close
})

interface Example {
  readonly name: string
  readonly text: string
}

/** More of the official R4 examples lie beside some checkouts; they are not part of the project. */
const BESIDE = new URL('../../../shared/reference/fhir/r4/', import.meta.url)

function allOfficial(): Example[] {
  const committed = officialExamples()
  const names = new Set(committed.map(({ name }) => name))
  const others = existsSync(BESIDE)
    ? readdirSync(BESIDE).filter((name) => name.endsWith('.json') && !names.has(name))
    : []
  return [
    ...committed,
    ...others.map((name) => ({ name, text: readFileSync(new URL(name, BESIDE), 'utf8') })),
  ]
}

/** Those that our own profiles refuse, with the rules. */
const REFUSED: Readonly<Record<string, readonly string[]>> = {
  'Patient-infant-mom.json': ['patient-identifier'],
  'Patient-pat1.json': ['patient-birth-date'],
  'Subscription-example-error.json': ['subscription-topic', 'subscription-content'],
}
const examples = allOfficial().filter(({ text }) => mayDo(typeOf(text), 'create'))
const isRefused = ({ name }: Example): boolean => name in REFUSED
afterAll(() => console.log(`Official R4 examples sent: ${examples.length}`))

const rulesOf = (answer: Answer): string[] =>
  issues(answer).flatMap(({ details }) => details.coding?.map(({ code }) => code) ?? [])

test('there are official examples of what may be created', () => {
  expect(examples.length).toBeGreaterThanOrEqual(20)
})

test.each(examples.filter((one) => !isRefused(one)))('$name goes the whole way', async (one) => {
  const sent = pointingElsewhere(one.text)

  const made = await as.send('POST', typeOf(sent), sent)
  expect(made.status, made.text).toBe(201)
  const place = /\/(\w+\/[^/]+)\/_history\/1$/.exec(String(made.headers['location']))?.[1] ?? ''
  expect(content(made.text)).toEqual(content(sent))
  expect(await as.seen(place, sent)).toEqual(expected(place, sent))

  const changed = changedText(place, sent)
  const updated = await as.send('PUT', place, changed)
  expect([updated.status, updated.headers['etag']], updated.text).toEqual([200, 'W/"2"'])
  expect(content(updated.text)).toEqual(content(changed))
  expect(await as.seen(place, changed)).toEqual(expected(place, changed))

  expect((await as.send('DELETE', place)).status).toBe(204)
  expect(await as.isGone(place)).toBe(true)
})

test.each(examples.filter(isRefused))('$name is refused by its rule', async ({ name, text }) => {
  const answer = await as.send('POST', typeOf(text), pointingElsewhere(text))

  expect([answer.status, rulesOf(answer)]).toEqual([422, REFUSED[name]])
})
