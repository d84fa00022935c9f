import { expect, test } from 'vitest'
import { RED_FLAG_SIGNS, SIGNS } from '../../../src/domain/child.ts'
import { factTerm } from '../../../src/domain/decision/fact-terms.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { child } from '../../helpers/child.ts'

const english = speaker('en')
const spanish = speaker('es')

test('a fact is named in words for each reader', () => {
  expect(english.therapist(factTerm('ankleDorsiflexion'))).toBe('ankle dorsiflexion, knee straight')
  expect(english.family(factTerm('ankleDorsiflexion'))).toBe(
    'how far the foot bends up with the knee straight',
  )
  expect(spanish.therapist(factTerm('openSkin'))).toBe('piel abierta')
})

test('every fact of a child that may contradict itself has a term', () => {
  const { measurements: _, ...ofFoot } = child().feet.left
  const ofChild = ['gestationDays', 'standardised', 'tone', 'beighton', 'medicalReview', 'shoeSize']
  const names = [...Object.keys(ofFoot), ...ofChild, ...SIGNS, ...RED_FLAG_SIGNS]

  expect(names.filter((name) => factTerm(name) === factTerm('no such fact'))).toEqual([])
})

test('a fact without a term is an entry of the record', () => {
  expect(english.therapist(factTerm('no such fact'))).toBe('an entry of the record')
})
