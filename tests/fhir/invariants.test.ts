import { readFileSync } from 'node:fs'
import { evaluate } from 'fhirpath'
import r4 from 'fhirpath/fhir-context/r4'
import { expect, test } from 'vitest'
import { z } from 'zod'

import { inOrder } from '../../src/fhir/invariant.ts'
import { INVARIANTS } from '../../src/fhir/invariants.ts'

const Nodes = z.array(z.record(z.string(), z.unknown()))
const { invariants } = z
  .object({
    invariants: z.array(
      z.object({
        key: z.string(),
        on: z.string(),
        expression: z.string(),
        keeps: Nodes.min(1),
        breaks: Nodes.min(1),
      }),
    ),
  })
  .parse(JSON.parse(readFileSync(new URL('../cases/r4/invariants.json', import.meta.url), 'utf8')))

/** The published expression on the same node; nothing as its result counts as kept. */
function officially(on: string, expression: string, node: Record<string, unknown>): boolean {
  const base = on.includes('.') || node.resourceType === undefined ? on : ''
  const found: unknown[] = evaluate(
    node,
    base === '' ? expression : { base, expression },
    { resource: node, ucum: 'http://unitsofmeasure.org' },
    r4,
    { async: false },
  )
  return found[0] !== false
}

for (const { key, on, expression, keeps, breaks } of invariants) {
  const rows = INVARIANTS.filter((row) => row.key === key && row.on === on)

  for (const [index, node] of [...keeps, ...breaks].entries()) {
    const kept = index < keeps.length

    test(`${key} on ${on}, node ${index + 1}: ${kept ? 'kept' : 'broken'}`, () => {
      expect(rows.map(({ holds }) => holds(node))).toEqual([kept])
    })

    test(`${key} on ${on}, node ${index + 1}: the published expression agrees`, () => {
      expect(officially(on, expression, node)).toBe(kept)
    })
  }
}

test('every invariant of the service has nodes that keep and nodes that break it', () => {
  const tested = new Set(invariants.map(({ key, on }) => `${key} ${on}`))
  const others = ['Age', 'Count', 'Distance', 'Duration'].map((on) => `qty-3 ${on}`)
  const untested = INVARIANTS.map(({ key, on }) => `${key} ${on}`).filter(
    (row) => !tested.has(row) && !others.includes(row),
  )

  expect(untested).toEqual([])
})

/** per-1 with mixed precision: the published expression gives nothing, so it is accepted. */
test('dates of different precision that overlap are neither in order nor out of it', () => {
  expect(inOrder('2024-03', '2024-03-01')).toBeUndefined()
  expect(inOrder('2023-06-21', '2023-06-21T06:20:00Z')).toBeUndefined()
  expect(inOrder('2024-03', '2024-04-01')).toBe(true)
  expect(inOrder('2024-04', '2024-03-01')).toBe(false)
})

test('times are ordered as instants, across zones and a leap second', () => {
  expect(inOrder('2016-12-31T23:59:60Z', '2017-01-01T00:00:00Z')).toBe(true)
  expect(inOrder('2024-01-01T00:30:00+01:00', '2023-12-31T23:30:00Z')).toBe(true)
  expect(inOrder('2024-01-01T00:30:00-01:00', '2023-12-31T23:30:00Z')).toBe(false)
})
