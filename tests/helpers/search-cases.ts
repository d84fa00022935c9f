import { readFileSync } from 'node:fs'
import { z } from 'zod'

const Found = z.object({ param: z.string(), match: z.boolean() })
const JsonObject = z.record(z.string(), z.unknown())
const Modified = Found.extend({ modifier: z.string() })

const Cases = z.object({
  date: z.object({
    cases: z.array(Found.extend({ value: z.union([z.string(), JsonObject]) })),
  }),
  number: z.object({ cases: z.array(Found.extend({ value: z.number() })) }),
  token: z.object({
    value: JsonObject,
    cases: z.array(Found),
    modifiers: z.array(Modified),
    absent: z.array(Modified),
  }),
  string: z.object({
    cases: z.array(
      z.object({ param: z.string(), search: z.string(), value: z.string(), match: z.boolean() }),
    ),
  }),
  quantity: z.object({ value: JsonObject, cases: z.array(Found) }),
  reference: z.object({
    base: z.string(),
    cases: z.array(Found.extend({ value: z.string() })),
  }),
  escaping: z.object({
    cases: z.array(
      z.object({
        param: z.string(),
        means: z.array(z.string()).optional(),
        error: z.number().optional(),
      }),
    ),
  }),
  combining: z.object({ cases: z.array(z.object({ query: z.string(), means: z.string() })) }),
  errors: z.object({
    cases: z.array(
      z.object({
        query: z.string(),
        prefer: z.string().nullish(),
        status: z.number().optional(),
        selfOmits: z.string().optional(),
        total: z.number().optional(),
      }),
    ),
  }),
})

/** What a search finds and does not find, by the sections of R4's search.html. */
export const searchCases = (): z.infer<typeof Cases> =>
  Cases.parse(
    JSON.parse(readFileSync(new URL('../cases/r4/search-cases.json', import.meta.url), 'utf8')),
  )
