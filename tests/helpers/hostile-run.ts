import type { FastifyInstance, InjectOptions } from 'fastify'
import { anyRequest, Dice } from './any-request.ts'

export interface HostileRun {
  readonly requests: number
  /** How many were answered with each status. */
  readonly statuses: ReadonlyMap<number, number>
  /** What must not be: requests as JSON, with what came back. */
  readonly faults: readonly string[]
}

export interface Requests {
  next(): InjectOptions
  /** Told of what was kept, so that later requests find it. */
  learn?(body: string, location: unknown): void
}

/** Those that no honest client sends. */
export function anyRequests(seed: number, token: string): Requests {
  const dice = new Dice(seed)
  return { next: () => anyRequest(dice, token) }
}

/** Sends requests one after the other. */
export async function hostileRun(
  app: FastifyInstance,
  {
    source,
    requests,
    longestMs,
    begun,
  }: {
    readonly source: Requests
    readonly requests: number
    /** An answer that takes longer is a hang, and fails the run. */
    readonly longestMs: number
    /** Told of each request before it is sent: one that blocks the process is never answered. */
    readonly begun?: (index: number) => void
  },
): Promise<HostileRun> {
  const statuses = new Map<number, number>()
  const faults: string[] = []
  for (let index = 0; index < requests; index += 1) {
    const request = source.next()
    begun?.(index)
    const told = `${index} ${JSON.stringify({ ...request, headers: undefined }).slice(0, 600)}`
    const at = performance.now()
    const answer = await Promise.race([app.inject(request), hung(longestMs)])
    // An answer that blocked the process wins the race, however late it comes.
    const ms = Math.round(performance.now() - at)
    if (answer === undefined || ms > longestMs) faults.push(`${told}: no answer within ${ms} ms`)
    if (answer === undefined) continue
    const { statusCode, body, headers } = answer
    if (statusCode < 300) source.learn?.(body, headers.location)
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
