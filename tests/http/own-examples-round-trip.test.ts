import { beforeAll, describe, expect, test } from 'vitest'
import { ownExamples } from '../helpers/own-examples.ts'
import {
  changedText,
  content,
  ELSEWHERE,
  expected,
  mayDo,
  type RoundTrip,
  roundTrip,
} from '../helpers/round-trip.ts'
import { type Answer, kept, testService } from '../helpers/service.ts'

// An invented resource of every type is sent in one transaction, and keeps every digit.

const examples = ownExamples().filter(({ type }) => mayDo(type, 'create'))
const places = new Map<string, string>()
let as: RoundTrip
let sent: Answer

beforeAll(async () => {
  const service = await testService()
  as = roundTrip(service, (await service.clinic()).staff)
  const entries = examples.map(
    ({ place, type, text }) =>
      `{"fullUrl":"${ELSEWHERE}/${place}","resource":${text},"request":{"method":"POST","url":"${type}"}}`,
  )
  sent = await as.send('POST', '', transactionOf(entries))
  for (const [index, place] of kept(sent).entries()) places.set(examples[index]?.place ?? '', place)
  return service.close
})

const transactionOf = (entries: readonly string[]): string =>
  `{"resourceType":"Bundle","type":"transaction","entry":[${entries.join(',')}]}`

const keptAt = (place: string): string => places.get(place) ?? 'nowhere'
/** As it is kept: what it refers to has the id that it was given. */
const asKept = (text: string): string =>
  text.replaceAll(
    /("reference"\s*:\s*")(\w+\/[\w-]+)"/g,
    (_all, before: string, place: string) => `${before}${keptAt(place)}"`,
  )
const that = (interaction: 'create' | 'update' | 'delete') =>
  examples.filter(({ type }) => mayDo(type, interaction))

test('all are taken in one transaction', () => {
  expect(sent.status, sent.text).toBe(200)
  expect(places.size).toBe(examples.length)
  expect(examples.length).toBeGreaterThanOrEqual(30)
})

test.each(that('create'))('$place is read and found as it was sent', async ({ place, text }) => {
  const at = keptAt(place)

  expect(await as.seen(at, asKept(text))).toEqual(expected(at, asKept(text)))
})

test.each(that('update'))('$place is updated', async ({ place, type, text }) => {
  const at = keptAt(place)
  const changed = changedText(at, asKept(text))
  const seen: Record<string, string> = type === 'Library' ? { 'if-match': 'W/"1"' } : {}

  const answer = await as.send('PUT', at, changed, seen)

  expect([answer.status, answer.headers['etag']], answer.text).toEqual([200, 'W/"2"'])
  expect(content(answer.text)).toEqual(content(changed))
  expect(await as.seen(at, changed)).toEqual(expected(at, changed))
})

describe('all that may be deleted', () => {
  test('is deleted together, whatever refers to whatever', async () => {
    const deleted = that('delete').map(({ place }) => keptAt(place))

    const answer = await as.send(
      'POST',
      '',
      transactionOf(deleted.map((url) => `{"request":{"method":"DELETE","url":"${url}"}}`)),
    )

    expect(answer.status, answer.text).toBe(200)
    for (const place of deleted) expect(await as.isGone(place), place).toBe(true)
  })

  test('is every type but Library', () => {
    const lasting = examples.filter((one) => !that('delete').includes(one))

    expect(lasting.map(({ type }) => type)).toEqual(['Library'])
  })
})
