import { existsSync, readFileSync } from 'node:fs'
import { z } from 'zod'
import { REGISTRY } from '../../src/fhir/registry.ts'

// The official expressions of the search parameters, trimmed to those of each type.

const ROOT = new URL('../../', import.meta.url)
const COMMITTED = new URL('tests/cases/r4/search-expressions.json', ROOT)
const OFFICIAL = new URL('../shared/reference/fhir/definitions/search-parameters-4.0.1.json', ROOT)
const SUPPLEMENT = new URL('src/fhir/r4/search-supplement.json', ROOT)

const Part = z.object({ definition: z.string(), expression: z.string() })
const Definitions = z.object({
  searchParameters: z.array(
    z.object({
      url: z.string(),
      code: z.string(),
      type: z.string(),
      base: z.array(z.string()),
      expression: z.string().optional(),
      component: z.array(Part).optional(),
    }),
  ),
})

const Expression = z.object({
  type: z.string(),
  expression: z.string(),
  /** Of a composite: its halves below the expression. */
  parts: z.array(z.object({ type: z.string(), expression: z.string() })).optional(),
})
export type Expression = z.infer<typeof Expression>

/** By resource type and code; those of every type under `Resource`. */
const Expressions = z.record(z.string(), z.record(z.string(), Expression))
export type Expressions = z.infer<typeof Expressions>

const File = z.object({ note: z.string(), expressions: Expressions })

/** The official definitions lie beside the checkout on some machines only. */
export const hasDefinitions = existsSync(OFFICIAL)

const json = (url: URL): unknown => JSON.parse(readFileSync(url, 'utf8'))

/** As they were written down when the definitions were there. */
export const committedExpressions = (): Expressions => File.parse(json(COMMITTED)).expressions

export function officialExpressions(): Expressions {
  const all = [OFFICIAL, SUPPLEMENT].flatMap((url) => Definitions.parse(json(url)).searchParameters)
  const types: readonly string[] = ['Resource', ...REGISTRY.map(({ type }) => type)].toSorted()
  return Object.fromEntries(
    types.map((of) => [
      of,
      Object.fromEntries(
        all
          .filter(({ base, type }) => base.includes(of) && type !== 'special')
          .filter(({ expression }) => expression !== undefined)
          .toSorted((a, b) => (a.code < b.code ? -1 : 1))
          .map(({ code, type, expression = '', component }) => [
            code,
            {
              type,
              expression: ofType(expression, of),
              ...(component === undefined
                ? {}
                : {
                    parts: component.map((part) => ({
                      type: all.find(({ url }) => url === part.definition)?.type ?? '',
                      expression: part.expression,
                    })),
                  }),
            },
          ]),
      ),
    ]),
  )
}

/** A shared parameter has an expression for each of its types. */
const ofType = (expression: string, type: string): string =>
  expression
    .split('|')
    .map((part) => part.trim())
    .filter((part) => new RegExp(`^\\(?${type}\\b`).test(part))
    .join(' | ')
