import { expect, test } from 'vitest'
import { evidenceStatements } from '../../../src/domain/decision/evidence-statements.ts'
import type { Outcome } from '../../../src/domain/decision/suitability.ts'
import type { Truth } from '../../../src/domain/truth.ts'
import { finding } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const told = (outcome: Outcome, walks: Truth, flags: Record<string, Truth> = {}, older = false) =>
  evidenceStatements(
    {
      outcome,
      walksAlone: finding('walks-alone', walks),
      redFlags: Object.entries(flags).map(([rule, holds]) => finding(rule, holds)),
      olderThanService: older,
    },
    RULES.suitability,
  )

for (const walks of ['no', 'unknown'] as const)
  test(`before walking is established (${walks}) the only trial and a limited trial are stated`, () => {
    const [evidence, trial, ...rest] = told('suitable-after-review', walks)

    expect(evidence).toMatch(/n = 17, Down syndrome; Looper and Ulrich 2010/)
    expect(evidence).toMatch(/lower gross motor scores one month after walking onset/)
    expect(evidence).toMatch(/already walk \(Martin 2004\)/)
    expect(trial).toMatch(/barefoot play protected.*review at 4-8 weeks/)
    expect(rest).toEqual([])
  })

test('a child that walks is told the low certainty, and not the trial before walking', () => {
  const statements = told('suitable', 'yes')

  expect(statements).toHaveLength(1)
  expect(statements[0]).toMatch(/certainty of the evidence is low/)
})

for (const outcome of ['watch', 'unsuitable', 'undetermined'] as const)
  test(`${outcome}: nothing is offered, so nothing is said about trials`, () => {
    expect(told(outcome, 'yes')).toEqual([])
    expect(told(outcome, 'no')).toEqual([])
  })

test('red flags that hold go to a physician, those not recorded are not called absent', () => {
  const flags = { 'gowers-sign': 'yes', regression: 'unknown', 'knee-angle': 'no' } as const

  expect(told('undetermined', 'yes', flags)).toEqual([
    'To be seen by a physician first: gowers sign',
    'Red flags not recorded, so not known to be absent: regression',
  ])
})

test('a child older than the clinic sees is referred elsewhere', () => {
  expect(told('watch', 'yes', {}, true)).toEqual([
    'Older than the clinic sees: refer to a service for older children',
  ])
})
