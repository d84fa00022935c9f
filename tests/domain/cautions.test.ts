import { expect, test } from 'vitest'
import { CAUTIONS } from '../../src/domain/cautions.ts'

test('every caution is said to the therapist and to the family', () => {
  expect(CAUTIONS.map(({ therapist, family }) => [therapist !== '', family !== ''])).toEqual(
    CAUTIONS.map(() => [true, true]),
  )
})

test('a result is decision support, leaves orders to a prescriber and sends urgent signs on', () => {
  const text = CAUTIONS.map(({ therapist }) => therapist).join(' ')

  expect(text).toMatch(/not a diagnosis.*licensed prescriber.*payer rules.*emergency care/s)
})
