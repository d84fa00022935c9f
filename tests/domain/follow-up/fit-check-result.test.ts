import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { fitCheckResult } from '../../../src/domain/follow-up/fit-check-result.ts'
import { SOURCES } from '../../../src/domain/tables/sources.ts'
import { answer, answers } from '../../helpers/fit-answers.ts'
import { RULES } from '../../helpers/rules.ts'

const items = fitCheck(['left', 'right'], RULES)
const of = (but: Parameters<typeof answers>[1] = {}) =>
  fitCheckResult(items, answers(items, but), RULES)

test('everything as it should be: pass, nothing open, in the order of the questions', () => {
  const found = of()

  expect(found).toMatchObject({ verdict: 'pass', unanswered: [] })
  expect(found.finding).toMatchObject({ rule: 'fit-check', holds: 'yes' })
  expect(found.items.map(({ id, side }) => [id, side])).toEqual(
    items.map(({ id, side }) => [id, side]),
  )
})

test('one item outside its tolerance: adjust, on that foot only', () => {
  const found = of({ 'closure-gap': 20 })

  expect(found.verdict).toBe('adjust')
  expect(found.finding).toMatchObject({ holds: 'no', because: 'adjust: left closure gap' })
  expect(found.items.filter(({ verdict }) => verdict !== 'pass')).toMatchObject([
    {
      id: 'closure-gap',
      side: 'left',
      verdict: 'adjust',
      adjustment: { what: 'size', direction: 'larger', mm: 7 },
      finding: { rule: 'fit-check.closure-gap.left', holds: 'no' },
    },
  ])
})

test('the rule of an item about the child names no side', () => {
  const found = of({ 'floor-to-stand-and-back': false })

  expect(found.items.at(-1)?.finding.rule).toBe('fit-check.floor-to-stand-and-back')
  expect(found.items.at(-1)?.wording.family).toMatch(/^Your child does not get up/)
})

/** From the weightiest to the lightest; each is joined with all that are lighter. */
const RANKS = [
  ['stop', { redness: 31 }],
  ['adjust', { 'closure-gap': 6 }],
  ['tell', { redness: 21 }],
  ['unknown', { 'medial-trim-line': 'unknown' }],
  ['pass', {}],
] as const

for (const [index, [verdict, but]] of RANKS.entries())
  test(`${verdict} outranks what comes after it`, () => {
    const lighter = RANKS.slice(index).reduceRight<Parameters<typeof of>[0]>(
      (all, [, other]) => ({ ...all, ...other }),
      {},
    )

    expect(of({ ...lighter, ...but }).verdict).toBe(verdict)
  })

test('what was not answered is listed, also when something weightier is found', () => {
  const some = answers(items).filter(({ id, side }) => id !== 'redness' || side !== 'right')
  const found = fitCheckResult(items, some, RULES)
  const stopped = fitCheckResult(items, [...some, answer('redness', 31)], RULES)

  expect(found).toMatchObject({
    verdict: 'unknown',
    unanswered: [{ id: 'redness', side: 'right' }],
  })
  expect(found.finding).toMatchObject({ holds: 'unknown', because: 'not answered: right redness' })
  expect(stopped.verdict).toBe('stop')
  expect(stopped.unanswered).toEqual([{ id: 'redness', side: 'right' }])
})

test('each item alone leaves the check open when nobody answered it', () => {
  for (const { id, side } of items) {
    const rest = answers(items).filter((one) => one.id !== id || one.side !== side)

    expect(fitCheckResult(items, rest, RULES)).toMatchObject({
      verdict: 'unknown',
      unanswered: [{ id, ...(side && { side }) }],
    })
  }
})

test('without answers, and with nothing asked, nothing has passed', () => {
  expect(fitCheckResult(items, [], RULES)).toMatchObject({ verdict: 'unknown' })
  expect(fitCheckResult(items, [], RULES).unanswered).toHaveLength(15)
  expect(fitCheckResult([], [], RULES)).toMatchObject({
    verdict: 'unknown',
    finding: { holds: 'unknown', because: 'nothing was asked' },
  })
})

test('an answer to what was not asked is refused: another item, another foot', () => {
  const only = fitCheck(['right'], RULES)
  const refused = expect.objectContaining({ kind: 'business-rule' }) as unknown as Error

  expect(() => fitCheckResult(items, [answer('invented', true)], RULES)).toThrow(refused)
  expect(() => fitCheckResult(only, [answer('closure-gap', 13, 'left')], RULES)).toThrow(refused)
  expect(() => fitCheckResult(items, [answer('closure-gap', 13, 'child')], RULES)).toThrow(refused)
})

test('the family is told what to do, once and in plain words', () => {
  expect(of({ redness: 31 }).wording.family).toBe('Please leave the supports off and call us.')
  expect(of({ 'closure-gap': 6 }).wording.family).toMatch(/adjusted.*tell us/)
  expect(of({ redness: 21 }).wording.family).toMatch(/tell us about the redness/)
  expect(of({ redness: 'unknown' }).wording.family).toMatch(/still open/)
  expect(of().wording.family).toMatch(/fits/)
})

test('every finding has sources, the evidence of its answers, and both voices', () => {
  const found = of({ redness: 31, 'ankle-bones-free': false, 'lateral-trim-line': 9 })

  for (const { finding, wording } of found.items) {
    expect(finding.sources.every((source) => source in SOURCES)).toBe(true)
    expect(finding.evidence).toEqual(['QuestionnaireResponse/a/_history/1'])
    expect(wording.therapist).not.toBe(wording.family)
    expect(wording.family).toMatch(/^(Left foot|Right foot|This)/)
  }
  expect(found.finding.evidence).toEqual(['QuestionnaireResponse/a/_history/1'])
})

test('the order of the answers does not matter', () => {
  const all = [...answers(items, { redness: 25, 'closure-gap': 3 }), answer('redness', 40)]
  fc.assert(
    fc.property(fc.shuffledSubarray(all, { minLength: all.length }), (shuffled) => {
      expect(fitCheckResult(items, shuffled, RULES)).toEqual(fitCheckResult(items, all, RULES))
    }),
    { numRuns: 20 },
  )
})
