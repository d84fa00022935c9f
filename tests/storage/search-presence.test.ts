import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { observationOf, searcher } from '../helpers/searches.ts'
import { type TestService, testService } from '../helpers/service.ts'

// That a parameter has a value is looked up in two ways, by how many have one; both find the same.

let service: TestService

beforeAll(async () => {
  service = await testService()
  return service.close
})

/** More than are looked up at once. */
const MANY = 1_200

const concept = (code: string): Json => ({ coding: [{ system: 'http://a.example/cs', code }] })

test('what has a value is found where few have one and where many have, page by page', async () => {
  const { staff } = await service.clinic()
  const as = searcher(service, staff)
  const few = [
    await as.create(observationOf({ method: concept('m') })),
    await as.create(observationOf({ method: { text: 'An invented method' } })),
  ]
  await as.create(observationOf())
  const many = Array.from({ length: MANY }, (_, index) => ({
    resource: observationOf({ category: [concept(`c${index}`)] }),
    request: { method: 'POST', url: 'Observation' },
    fullUrl: `urn:uuid:${randomUUID()}`,
  }))
  for (let from = 0; from < MANY; from += 400) {
    const body = {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: many.slice(from, from + 400),
    }
    const answer = await service.send(staff, { method: 'POST', url: '/fhir', body })
    expect(answer.status, answer.text.slice(0, 400)).toBe(200)
  }
  const count = async (query: string) => (await as.ids(`Observation?${query}&_count=1000`)).length

  expect((await as.ids('Observation?method:missing=false')).toSorted()).toEqual(few.toSorted())
  expect(await as.ids('Observation?method:missing=false&category:missing=false')).toEqual([])
  expect(await count('category:missing=false')).toBeGreaterThanOrEqual(100)
  expect(await count('category:missing=true')).toBe(3)

  let next = '/fhir/Observation?category:missing=false&_count=500&_sort=status'
  const seen = new Set<string>()
  while (next !== '') {
    const answer = await service.send(staff, { url: next })
    expect(answer.status).toBe(200)
    for (const [, id = ''] of answer.text.matchAll(/"resourceType":"Observation","id":"([^"]+)"/g))
      seen.add(id)
    next = /"relation":"next","url":"[^"]*?(\/fhir[^"]+)"/.exec(answer.text)?.[1] ?? ''
  }
  expect(seen.size).toBe(MANY)
})
