import { expect, test } from 'vitest'
import { CAUTIONS } from '../../src/domain/cautions.ts'
import { speaker } from '../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../helpers/every-voice.ts'

test('every caution is said to the therapist and to the family, in every language', () => {
  expect(faultsInVoices(CAUTIONS)).toEqual([])
})

test('a result is decision support, leaves orders to a prescriber and sends urgent signs on', () => {
  const text = CAUTIONS.map(speaker('en').therapist).join(' ')

  expect(text).toMatch(/not a diagnosis.*licensed prescriber.*payer rules.*emergency care/s)
})
