import { expect, test } from 'vitest'
import { CRITERIA, EXCLUSIONS } from '../../../src/domain/decision/decision.ts'
import { RED_FLAG_RULES } from '../../../src/domain/decision/red-flags.ts'
import { termsOf } from '../../../src/domain/decision/rule-terms.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { finding } from '../../helpers/findings.ts'

const english = speaker('en')
const spanish = speaker('es')

test('the terms are those of the findings that hold so, in their order', () => {
  const found = [
    finding('gowers-sign', 'yes'),
    finding('knee-angle', 'no'),
    finding('low-tone', 'yes'),
    finding('rigid-foot', 'yes'),
  ]

  expect(termsOf(found, 'yes').map(english.therapist)).toEqual([
    'Gowers sign',
    'low tone',
    'rigid foot',
  ])
  expect(termsOf(found, 'no').map(spanish.therapist)).toEqual([
    'ángulo de la rodilla fuera de los límites',
  ])
  expect(termsOf(found, 'unknown')).toEqual([])
})

test('every criterion, exclusion and red flag has a term of its own', () => {
  const rules = [...CRITERIA, ...EXCLUSIONS, ...Object.keys(RED_FLAG_RULES)]
  const terms = termsOf(
    rules.map((rule) => finding(rule, 'yes')),
    'yes',
  )

  expect(rules).toHaveLength(21)
  expect(new Set(terms.map(english.family)).size).toBe(21)
})

test('a finding without a term is an error and never left out', () => {
  expect(() => termsOf([finding('shoe-colour', 'yes')], 'yes')).toThrow('shoe-colour has no term')
})
