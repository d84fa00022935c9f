import { expect, test } from 'vitest'
import { atOnce } from '../../../src/domain/decision/at-once.ts'
import { RED_FLAG_RULES } from '../../../src/domain/decision/red-flags.ts'
import { say } from '../../../src/domain/messages/message.ts'
import type { Finding, Truth } from '../../../src/domain/truth.ts'

/** Of the caution that stands with every result: loss of skills, one-sided weakness, fever or a new limp. */
const AT_ONCE = ['regression', 'one-sided-weakness', 'fever-or-new-limp']

const flag = (rule: string, holds: Truth): Finding => ({
  rule,
  holds,
  because: say('suitability.suitable'),
  sources: [],
  evidence: [],
})
const rules = Object.keys(RED_FLAG_RULES)

test('exactly the red flags of the caution go to a physician at once, where they are present', () => {
  expect(atOnce(rules.map((rule) => flag(rule, 'yes'))).map(({ rule }) => rule)).toEqual(AT_ONCE)
})

test('what is absent or unknown sends nobody to a physician', () => {
  expect(atOnce(rules.map((rule) => flag(rule, 'no')))).toEqual([])
  expect(atOnce(rules.map((rule) => flag(rule, 'unknown')))).toEqual([])
})
