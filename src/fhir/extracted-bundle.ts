import type { Bundle, Observation } from './r4/types.ts'

/** An observation that answers are, with the id under which this service keeps it. */
export interface ExtractedFact {
  readonly id: string
  readonly observation: Observation
}

/**
 * A transaction that creates what is not there yet. Sent to this service after the answers themselves it creates
 * nothing: by then it has made the same.
 */
export const extractedBundle = (facts: readonly ExtractedFact[], timestamp: string): Bundle => ({
  resourceType: 'Bundle',
  type: 'transaction',
  timestamp,
  ...(facts.length === 0
    ? {}
    : {
        entry: facts.map(({ id, observation }) => ({
          fullUrl: `urn:uuid:${id}`,
          resource: observation,
          request: { method: 'POST', url: 'Observation', ifNoneExist: `_id=${id}` },
        })),
      }),
})
