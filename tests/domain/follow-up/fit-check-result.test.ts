import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { fitCheckResult } from '../../../src/domain/follow-up/fit-check-result.ts'
import { SOURCES } from '../../../src/domain/tables/sources.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { answer, answers } from '../../helpers/fit-answers.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
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
  expect(found.finding.holds).toBe('no')
  expect(en.therapist(found.finding.because)).toBe('Adjust: closure gap (left).')
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
  expect(found.items.map(({ wording }) => en.family(wording)).at(-1)).toMatch(
    /^Your child does not get up/,
  )
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
  expect(found.finding.holds).toBe('unknown')
  expect(en.therapist(found.finding.because)).toBe('Not answered: redness (right).')
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
    finding: { holds: 'unknown' },
  })
  expect(en.therapist(fitCheckResult([], [], RULES).wording)).toBe('Nothing was asked.')
})

test('an answer to what was not asked is refused: another item, another foot', () => {
  const only = fitCheck(['right'], RULES)
  const refused = expect.objectContaining({ kind: 'business-rule' }) as unknown as Error

  expect(() => fitCheckResult(items, [answer('invented', true)], RULES)).toThrow(refused)
  expect(() => fitCheckResult(items, [answer('invented', true)], RULES)).toThrow(
    'an answer belongs to no item of the fit check',
  )
  expect(() => fitCheckResult(only, [answer('closure-gap', 13, 'left')], RULES)).toThrow(refused)
  expect(() => fitCheckResult(items, [answer('closure-gap', 13, 'child')], RULES)).toThrow(refused)
})

test('the family is told what to do and why, the weightiest first, in plain words', () => {
  const said = (but: Parameters<typeof of>[0] = {}) => en.family(of(but).wording)

  expect(said({ redness: 31 })).toBe(
    'Please leave the supports off and call us because of: redness (left foot).',
  )
  expect(said({ 'closure-gap': 6 })).toMatch(/adjusted: gap over the top of the foot \(left foot\)/)
  expect(said({ redness: 21 })).toMatch(/tell us.*redness/)
  expect(said({ redness: 'unknown' })).toMatch(/still open: redness/)
  expect(said()).toBe('Everything fits as it should.')
  expect(said({ redness: 31, 'closure-gap': 6, 'ankle-bones-free': 'unknown' })).toMatch(
    /^Please leave the supports off.*adjusted.*still open/,
  )
})

test('in Spanish the items are listed in its own words', () => {
  const { wording } = of({ 'closure-gap': 6, 'medial-trim-line': 9 })

  expect(speaker('es').therapist(wording)).toBe(
    'Ajustar: abertura del cierre (pie izquierdo) y línea de recorte medial (pie izquierdo).',
  )
})

test('every verdict is said in every voice', () => {
  const results = [...RANKS.map(([, but]) => of(but)), fitCheckResult([], [], RULES)]

  expect(faultsInVoices(results.map(({ wording }) => wording))).toEqual([])
})

test('every finding has sources, the evidence of its answers, and every voice', () => {
  const found = of({ redness: 31, 'ankle-bones-free': false, 'lateral-trim-line': 9 })

  for (const { finding, wording } of found.items) {
    expect(finding.sources.every((source) => source in SOURCES)).toBe(true)
    expect(finding.evidence).toEqual(['QuestionnaireResponse/a/_history/1'])
    expect(finding.because).toBe(wording)
    expect(faultsInVoices([wording])).toEqual([])
    expect(en.family(wording)).toMatch(/^(Left foot|Right foot|This)/)
  }
  expect(found.finding.evidence).toEqual(['QuestionnaireResponse/a/_history/1'])
  expect(found.finding.sources).toEqual([
    'orthosis-leaflets',
    'memory',
    'common-practice',
    'judgement',
    'front-edge-letter-2012',
  ])
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
