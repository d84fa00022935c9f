/** Two ways to do the same work, measured in turn so that a noisy machine troubles both alike. */
export interface Contest {
  readonly name: string
  readonly work: () => Promise<void>
  readonly limit: () => Promise<void>
  readonly times: number
}

export interface Result {
  readonly name: string
  /** Rate of the work divided by the rate of the limit, median of the rounds. */
  readonly ratio: number
  readonly workMs: number
  readonly limitMs: number
  /** Slowest round of the limit divided by its fastest: above 2.5 the run says nothing. */
  readonly spread: number
}

const ROUNDS = 7
/** Rounds that are not measured, in which Node compiles and PostgreSQL plans. */
const WARM_UP_ROUNDS = 4

export async function contest({ name, work, limit, times }: Contest): Promise<Result> {
  await repeat(work, times * WARM_UP_ROUNDS)
  await repeat(limit, times * WARM_UP_ROUNDS)
  const rounds: { work: number; limit: number }[] = []
  for (let round = 0; round < ROUNDS; round += 1) {
    const first = await repeat(work, times)
    rounds.push({ work: first, limit: await repeat(limit, times) })
  }
  const limits = rounds.map((round) => round.limit)
  return {
    name,
    ratio: median(rounds.map((round) => round.limit / round.work)),
    workMs: median(rounds.map((round) => round.work)) / times,
    limitMs: median(limits) / times,
    spread: Math.max(...limits) / Math.min(...limits),
  }
}

async function repeat(work: () => Promise<void>, times: number): Promise<number> {
  const start = performance.now()
  for (let time = 0; time < times; time += 1) await work()
  return performance.now() - start
}

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  const middle = Math.floor(sorted.length / 2)
  const [low, high] = [sorted[sorted.length % 2 === 0 ? middle - 1 : middle], sorted[middle]]
  return ((low ?? 0) + (high ?? 0)) / 2
}
