import { existsSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'

import { INVARIANTS } from '../../src/fhir/invariants.ts'
import { REGISTRY } from '../../src/fhir/registry.ts'

const json = (url: URL): unknown => JSON.parse(readFileSync(url, 'utf8'))
const LIST = new URL('../cases/r4/official-invariants.json', import.meta.url)
const { invariants: official } = z
  .object({ invariants: z.array(z.string()).min(1) })
  .parse(json(LIST))

/** Why an official invariant has no function of its own, by its place and key. */
const REASONS: readonly (readonly [pattern: RegExp, reason: string])[] = [
  [/^ElementDefinition eld-11$/, 'As printed it holds of every element that has types.'],
  [/^ElementDefinition eld-19$/, 'Printed without anchors, so every path with a letter keeps it.'],
  [/^ElementDefinition\.max eld-3$/, 'Hangs on the ElementDefinition here.'],
  [/^StructureDefinition\.\w+ sdf-8a?$/, 'Hangs on the StructureDefinition here.'],
  [/^StructureDefinition\.snapshot\.element sdf-10$/, 'Hangs on the snapshot here.'],
  [/^Consent ppc-[2-5]$/, 'Printed with the code system `something`, so it never applies.'],
  [
    /^Element(?:\.extension)? ele-1$/,
    'The structure refuses what is empty (rules empty and null).',
  ],
  [/^Extension\.extension ext-1$/, 'The same on an extension inside: with Extension ext-1.'],
  [/^DomainResource dom-[2-5]$/, 'Looks beyond one node: structure.ts and references.ts.'],
  [/^Reference ref-1$/, 'Looks beyond one node: references.ts.'],
  [/^Organization\.(?:address|telecom) org-[23]$/, 'Hangs on the Organization here.'],
  [/^RiskAssessment\.prediction\.probability\[x\] ras-1$/, 'Hangs on the prediction here.'],
  [/^Narrative\.div txt-[12]$/, 'No expression: narrative.ts.'],
]

const reasonOf = (row: string): string | undefined =>
  REASONS.find(([pattern]) => pattern.test(row))?.[1]

test('every official error invariant has a function or a written reason', () => {
  const native = new Set(INVARIANTS.map(({ on, key }) => `${on} ${key}`))

  expect(official.filter((row) => !native.has(row) && reasonOf(row) === undefined)).toEqual([])
})

test('every reason is needed', () => {
  const idle = REASONS.filter(([pattern]) => !official.some((row) => pattern.test(row)))

  expect(idle.map(([pattern]) => String(pattern))).toEqual([])
})

test('every invariant of the service has an official key', () => {
  const keys = new Set(official.map((row) => row.split(' ')[1]))

  expect(INVARIANTS.filter(({ key }) => !keys.has(key))).toEqual([])
})

const DEFINITIONS = new URL(
  '../../../shared/reference/fhir/definitions/structure-4.0.1.json',
  import.meta.url,
)
const Definitions = z.object({
  types: z.array(
    z.object({
      type: z.string(),
      element: z.array(
        z.object({
          path: z.string(),
          type: z.array(z.object({ code: z.string() })).optional(),
          constraint: z
            .array(
              z.object({ key: z.string(), severity: z.string(), source: z.string().optional() }),
            )
            .optional(),
        }),
      ),
    }),
  ),
})

/** A copy of the published definitions lies beside some checkouts; it has most of our types. */
test.skipIf(!existsSync(DEFINITIONS))('the list is what the definitions publish', () => {
  const types = new Map(Definitions.parse(json(DEFINITIONS)).types.map((one) => [one.type, one]))
  const found = new Set<string>()
  const seen = new Set<string>()
  const waiting: string[] = [
    ...REGISTRY.map(({ type }) => type),
    'Bundle',
    'Parameters',
    'RequestGroup',
  ]
  for (let type = waiting.pop(); type !== undefined; type = waiting.pop()) {
    if (seen.has(type)) continue
    seen.add(type)
    for (const element of types.get(type)?.element ?? []) {
      waiting.push(...(element.type ?? []).map(({ code }) => code))
      for (const { key, severity, source } of element.constraint ?? []) {
        const from = source?.split('/').at(-1) ?? type
        if (severity === 'error') found.add(`${from === type ? element.path : from} ${key}`)
      }
    }
  }
  // The copy leaves out nine of our types.
  const listed = official.filter((row) => types.has(row.split(/[. ]/)[0] ?? ''))

  expect(listed).toEqual([...found].toSorted())
})
