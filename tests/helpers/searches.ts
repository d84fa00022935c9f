import { randomUUID } from 'node:crypto'
import { expect } from 'vitest'
import type { Json } from './referral.ts'
import { type Answer, entries, resource, resources, type TestService, type Who } from './service.ts'

/** What the search tests do again and again, as one caller. */
export interface Searcher {
  readonly find: (query: string, headers?: Record<string, string>) => Promise<Answer>
  /** The ids of what a search that must be answered finds, in its order; without what comes along. */
  readonly ids: (query: string) => Promise<string[]>
  /** `Type/id` of what comes along. */
  readonly included: (query: string) => Promise<string[]>
  readonly create: (sent: Json) => Promise<string>
}

export function searcher(service: TestService, who: Who): Searcher {
  const find: Searcher['find'] = (query, headers = {}) =>
    service.send(who, { url: `/fhir/${query}`, headers })
  const answered = async (query: string) => {
    const answer = await find(query)
    expect(answer.status, `${query}: ${answer.text}`).toBe(200)
    return answer
  }
  return {
    find,
    ids: async (query) => foundIn(await answered(query)),
    included: async (query) => includedIn(await answered(query)),
    create: async (sent) => {
      const url = `/fhir/${String(sent['resourceType'])}`
      const answer = await service.send(who, { method: 'POST', url, body: sent })
      if (answer.status !== 201) throw new Error(answer.text)
      return String(resource(answer)['id'])
    },
  }
}

const inMode = (answer: Answer, wanted: string): Json[] =>
  entries(answer).flatMap(({ search, resource: one }) =>
    search?.mode === wanted && one !== undefined ? [one] : [],
  )

export const foundIn = (answer: Answer): string[] =>
  inMode(answer, 'match').map(({ id }) => String(id))

export const includedIn = (answer: Answer): string[] =>
  inMode(answer, 'include').map(({ resourceType, id }) => `${String(resourceType)}/${String(id)}`)

export const outcomesIn = (answer: Answer): Json[] => inMode(answer, 'outcome')

export const allIn = (answer: Answer): Json[] => resources(answer)

export const patientOf = (more: Json = {}): Json => ({
  resourceType: 'Patient',
  identifier: [{ system: 'http://a.example/children', value: randomUUID() }],
  birthDate: '2024-02-01',
  ...more,
})

export const observationOf = (more: Json = {}): Json => ({
  resourceType: 'Observation',
  status: 'final',
  code: { text: 'An invented observation' },
  ...more,
})
