import { expect, test } from 'vitest'
import { type CautionFacts, cautions } from '../../../src/domain/plan/plan-cautions.ts'
import { say } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { finding, postureOf, suitabilityOf } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const messages = (known: Partial<CautionFacts> = {}) =>
  cautions(
    {
      suitability: suitabilityOf(),
      posture: postureOf('yes', 'yes'),
      walksAlone: 'yes',
      chart: { note: 'Invented.' },
      ...known,
    },
    RULES,
  )
const said = (known: Partial<CautionFacts> = {}, { therapist, family } = en) =>
  messages(known).map((one) => ({ therapist: therapist(one), family: family(one) }))
const standing = said().length

test('for a walking child with two affected feet only the standing cautions apply', () => {
  expect(said()[0]?.therapist).toMatch(/^A proposal/)
})

test('a red flag that holds comes first; one that is absent or unknown is not called present', () => {
  const flagged = (holds: 'yes' | 'no' | 'unknown') =>
    said({ suitability: suitabilityOf({ redFlags: [finding('gowers-sign', holds)] }) })

  expect(flagged('yes')[0]?.therapist).toMatch(/^A physician sees the child first.* running$/)
  expect(flagged('no')).toHaveLength(standing)
  expect(flagged('unknown')).toHaveLength(standing)
})

test('each red flag that holds is said, in the words of its own finding', () => {
  const because = say('skill.jumping-with-both-feet')
  const redFlags = [finding('knee-angle', 'yes'), { ...finding('gowers-sign', 'yes'), because }]
  const [first] = said({ suitability: suitabilityOf({ redFlags }) })

  expect(first?.therapist).toMatch(/ running jumping with both feet$/)
  expect(first?.family).toMatch(/Before anything is ordered.*doctor/)
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
  expect(spared[0]?.family).toContain('look at the right foot too')
  expect(open[0]?.family).toContain('do not know enough about the left foot')
})

test('every caution is said in every voice, whatever is known of walking and of the feet', () => {
  for (const walksAlone of ['yes', 'no', 'unknown'] as const)
    for (const other of ['no', 'unknown'] as const)
      expect(faultsInVoices(messages({ walksAlone, posture: postureOf(other, other) }))).toEqual([])
})

test('in Spanish the foot without a device is named', () => {
  const [first] = said({ posture: postureOf('no', 'yes') }, speaker('es'))

  expect(first?.therapist).toMatch(/^No se propone ortesis para el pie izquierdo/)
})
