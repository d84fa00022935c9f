import type { FastifyInstance } from 'fastify'
import { anyRequest, Dice } from './any-request.ts'

export interface HostileRun {
  readonly requests: number
  /** How many were answered with each status. */
  readonly statuses: ReadonlyMap<number, number>
  /** What must not be: requests as JSON, with what came back. */
  readonly faults: readonly string[]
}

/** Sends requests that no honest client sends, one after the other. */
export async function hostileRun(
  app: FastifyInstance,
  {
    token,
    seed,
    requests,
    longestMs,
  }: {
    readonly token: string
    readonly seed: number
    readonly requests: number
    /** An answer that takes longer is a hang, and fails the run. */
    readonly longestMs: number
  },
): Promise<HostileRun> {
  const dice = new Dice(seed)
  const statuses = new Map<number, number>()
  const faults: string[] = []
  for (let index = 0; index < requests; index += 1) {
    const request = anyRequest(dice, token)
    const told = `${index} ${JSON.stringify({ ...request, headers: undefined }).slice(0, 600)}`
    const answer = await Promise.race([app.inject(request), hung(longestMs)])
    if (answer === undefined) {
      faults.push(`${told}: no answer within ${longestMs} ms`)
      continue
    }
    const { statusCode, body } = answer
    statuses.set(statusCode, (statuses.get(statusCode) ?? 0) + 1)
    if (statusCode >= 500) faults.push(`${told}: ${statusCode} ${body.slice(0, 300)}`)
    if (statusCode >= 400 && request.method !== 'HEAD' && !isOutcome(body))
      faults.push(`${told}: ${statusCode} without an outcome: ${body.slice(0, 300)}`)
  }
  return { requests, statuses, faults }
}

const hung = (ms: number): Promise<undefined> =>
  new Promise((resolve) => {
    setTimeout(() => resolve(undefined), ms).unref()
  })

function isOutcome(body: string): boolean {
  try {
    const parsed: unknown = JSON.parse(body)
    return (
      typeof parsed === 'object' &&
      parsed !== null &&
      'resourceType' in parsed &&
      parsed.resourceType === 'OperationOutcome'
    )
  } catch {
    return false
  }
}
