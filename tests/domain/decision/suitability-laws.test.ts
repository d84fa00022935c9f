import { assert, pre, property } from 'fast-check'
import { expect, test } from 'vitest'
import { suitability } from '../../../src/domain/decision/suitability.ts'
import { assess } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import {
  anyHidden,
  anyWhole,
  FACT_NAMES,
  fewHidden,
  partly,
  type Whole,
} from '../../helpers/whole-child.ts'

const found = (...args: Parameters<typeof assess>) => suitability(assess(...args), RULES)
const outcomeWithout = (whole: Whole, hidden: readonly string[]) => found(...partly(whole, hidden))

test('a child of whom everything is known is never undetermined', () => {
  assert(
    property(anyWhole, (whole) => {
      expect(outcomeWithout(whole, []).outcome).not.toBe('undetermined')
    }),
  )
})

test('unsuitable stays unsuitable whatever else arrives', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      pre(outcomeWithout(whole, hidden).outcome === 'unsuitable')

      expect(outcomeWithout(whole, []).outcome).toBe('unsuitable')
    }),
    { numRuns: 100 },
  )
})

test('suitable stays suitable whatever else arrives', () => {
  assert(
    property(anyWhole, fewHidden, (whole, hidden) => {
      pre(outcomeWithout(whole, hidden).outcome === 'suitable-after-review')

      expect(outcomeWithout(whole, []).outcome).toBe('suitable-after-review')
    }),
    { numRuns: 100 },
  )
})

test('when all that is asked arrives, any way, the outcome is known and what was not asked cannot change it', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const before = outcomeWithout(whole, hidden)
      pre(before.outcome === 'undetermined')
      const asked = before.missing.flatMap(({ facts }) => facts)
      const after = outcomeWithout(
        whole,
        hidden.filter((name) => !asked.includes(name)),
      )

      expect(asked.length).toBeGreaterThan(0)
      expect(after.outcome).not.toBe('undetermined')
      expect(after.outcome).toBe(outcomeWithout(whole, []).outcome)
    }),
    { numRuns: 100 },
  )
})

test('nothing is asked that is on record', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const { missing } = outcomeWithout(whole, hidden)
      const known = FACT_NAMES.filter((name) => !hidden.includes(name))

      expect(missing.flatMap(({ facts }) => facts).filter((name) => known.includes(name))).toEqual(
        [],
      )
    }),
  )
})
