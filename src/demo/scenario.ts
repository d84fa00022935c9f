import { readFileSync } from 'node:fs'
import { z } from 'zod'
import { type CivilDate, civilDate } from '../domain/calendar.ts'

const SEEDS = new URL('../../seeds/', import.meta.url)

const Scenario = z.object({
  referenceDay: z.string(),
  children: z.array(z.object({ file: z.string(), title: z.string() })).min(1),
})

/** The invented children of `seeds/`, and the day on which they have the ages that they are meant to have. */
export interface Scenario {
  readonly referenceDay: CivilDate
  readonly children: readonly SeedChild[]
}

export interface SeedChild {
  readonly file: string
  readonly title: string
  /** The transaction Bundle that their therapist's records system sends. */
  readonly bundle: unknown
}

/** Reads every seed; the first child is the one that the demo follows to the plan. */
export function readScenario(): Scenario {
  const { referenceDay, children } = Scenario.parse(read('scenario.json'))
  return {
    referenceDay: civilDate(referenceDay),
    children: children.map((child) => ({ ...child, bundle: read(child.file) })),
  }
}

const read = (file: string): unknown => JSON.parse(readFileSync(new URL(file, SEEDS), 'utf8'))
