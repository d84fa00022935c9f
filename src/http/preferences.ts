import type { FastifyRequest } from 'fastify'

export type Return = 'minimal' | 'representation' | 'OperationOutcome'

const RETURNS: readonly Return[] = ['minimal', 'representation', 'OperationOutcome']

/** The header Prefer; a value that we do not know is ignored, never an error. */
export function preferences({ headers }: Pick<FastifyRequest, 'headers'>): {
  /** Lenient where nothing is said. */
  readonly handling: 'strict' | 'lenient'
  /** What was said. */
  readonly handlingAsked: 'strict' | 'lenient' | undefined
  readonly returns: Return | undefined
} {
  const words = [headers['prefer'] ?? []]
    .flat()
    .flatMap((line) => line.split(/[;,]/))
    .map((word) => word.trim().replace(/^(\w+)\s*=\s*"?([^"]*)"?$/, '$1=$2'))
  const returns = RETURNS.find((value) => words.includes(`return=${value}`))
  const handlingAsked = (['strict', 'lenient'] as const).find((value) =>
    words.includes(`handling=${value}`),
  )
  return { handling: handlingAsked ?? 'lenient', handlingAsked, returns }
}
