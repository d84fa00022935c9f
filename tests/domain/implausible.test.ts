import { expect, test } from 'vitest'
import { ImplausibleRecord } from '../../src/domain/implausible.ts'

test('an implausible record is an error that names its element', () => {
  const error = new ImplausibleRecord('gestation', 'outside what is plausible')

  expect(error).toBeInstanceOf(Error)
  expect(error).toMatchObject({
    name: 'ImplausibleRecord',
    element: 'gestation',
    message: 'outside what is plausible',
  })
})
