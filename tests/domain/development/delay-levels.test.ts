import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { probabilityOfDelay } from '../../../src/domain/development/delay-levels.ts'
import { parseRuleSet } from '../../../src/domain/rules/rule-set.ts'
import { tempoWith } from '../../helpers/findings.ts'

const tempo = tempoWith({ atLeast25: 0.9, atLeast33: 0.5, atLeast50: 0.1 })

test('each delay has the probability that the tempo gives it', () => {
  expect([25, 33, 50].map((percent) => probabilityOfDelay(percent, tempo))).toEqual([0.9, 0.5, 0.1])
})

test('no probability is made up for another delay', () => {
  expect(() => probabilityOfDelay(30, tempo)).toThrow(
    new RangeError('a delay must be one of 25, 33, 50 percent'),
  )
})

test('a rule set that asks for another delay is refused', () => {
  const file = new URL('../../../src/domain/rules/footing-default-2026.1.json', import.meta.url)
  const other = readFileSync(file, 'utf8').replace(
    /("delayPercent": \{\s+"value": )25/,
    (_, start: string) => `${start}30`,
  )

  expect(() => parseRuleSet(JSON.parse(other))).toThrow(/suitability.delayPercent: must be one of/)
})
