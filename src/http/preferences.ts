import type { FastifyRequest } from 'fastify'
import type { Handling } from '../fhir/query.ts'

export type Return = 'minimal' | 'representation' | 'OperationOutcome'

/** The header Prefer; a value that we do not know is ignored, never an error. */
export function preferences({ headers }: FastifyRequest): {
  readonly handling: Handling
  readonly returns: Return | undefined
} {
  const words = [headers['prefer'] ?? []].flat().flatMap((line) => line.split(/[;,]\s*/))
  const returns = (['minimal', 'representation', 'OperationOutcome'] as const).find((value) =>
    words.includes(`return=${value}`),
  )
  return { handling: words.includes('handling=strict') ? 'strict' : 'lenient', returns }
}
