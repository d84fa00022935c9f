import { expect, test } from 'vitest'
import { type CautionFacts, cautions } from '../../../src/domain/plan/plan-cautions.ts'
import { finding, postureOf, suitabilityOf } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const said = (known: Partial<CautionFacts> = {}) =>
  cautions(
    {
      suitability: suitabilityOf(),
      posture: postureOf('yes', 'yes'),
      walksAlone: 'yes',
      chartNote: 'Invented.',
      ...known,
    },
    RULES,
  )
const standing = said().length

test('for a walking child with two affected feet only the standing cautions apply', () => {
  expect(said()[0]?.therapist).toMatch(/^A proposal/)
})

test('a red flag that holds comes first; one that is absent or unknown is not called present', () => {
  const flagged = (holds: 'yes' | 'no' | 'unknown') =>
    said({ suitability: suitabilityOf({ redFlags: [finding('gowers-sign', holds)] }) })

  expect(flagged('yes')[0]?.therapist).toMatch(/physician sees the child first: gowers sign/)
  expect(flagged('no')).toHaveLength(standing)
  expect(flagged('unknown')).toHaveLength(standing)
})

test('before walking the trial is told, with a review at 4 to 8 weeks', () => {
  const [first] = said({ walksAlone: 'no' })

  expect(first?.therapist).toMatch(
    /does not walk alone yet.*n 17.*lower gross motor scores.*4-8 weeks/,
  )
  expect(first?.family).toMatch(/4 to 8 weeks/)
})

test('walking that is not on record gets the same caution under an if', () => {
  expect(said({ walksAlone: 'unknown' })[0]?.therapist).toContain('not on record; if not')
})

test('a foot that gets no device is named with the reason', () => {
  const spared = said({ posture: postureOf('yes', 'no') })
  const open = said({ posture: postureOf('unknown', 'yes') })

  expect(spared[0]?.therapist).toMatch(/right foot: it does not pronate.*Common practice/)
  expect(open[0]?.therapist).toMatch(/left foot: whether it pronates excessively is not known/)
})
