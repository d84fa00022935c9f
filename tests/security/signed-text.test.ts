import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { pageKeyOf } from '../../src/security/page-key.ts'
import { signedText, verifiedText } from '../../src/security/signed-text.ts'

const KEY = pageKeyOf([{ keyId: 'a', privateJwk: '{"invented":"key"}' }])
const OTHER = pageKeyOf([{ keyId: 'a', privateJwk: '{"invented":"other"}' }])

test('a signed text is read again with its key alone', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), (text) => {
      const signed = signedText(text, KEY)

      expect(signed).toMatch(/^[\w-]+$/)
      expect(verifiedText(signed, KEY)).toBe(text)
      expect(verifiedText(signed, OTHER)).toBeUndefined()
    }),
  )
})

test('what is bound to one thing is not read for another', () => {
  const signed = signedText('a', KEY, 'Patient')

  expect(verifiedText(signed, KEY, 'Patient')).toBe('a')
  expect(verifiedText(signed, KEY, 'Task')).toBeUndefined()
  expect(verifiedText(signed, KEY)).toBeUndefined()
})

test('one that was changed at any place is not read', () => {
  const signed = signedText('2026-03-02T09:00:00.000Z', KEY)

  for (let at = 0; at < signed.length; at += 1) {
    const other = signed[at] === 'A' ? 'B' : 'A'
    expect(verifiedText(signed.slice(0, at) + other + signed.slice(at + 1), KEY)).toBeUndefined()
  }
})

test.each(['', 'a', '====', 'MDAwMC0wMS0wMVQwMDowMDowMFp-YQ', 'ä', '%00'])(
  '%s was never signed',
  (text) => {
    expect(verifiedText(text, KEY)).toBeUndefined()
  },
)

test('other characters of the alphabet beside it do not stand for the same text', () => {
  expect(verifiedText(`${signedText('a', KEY)}=`, KEY)).toBeUndefined()
  expect(verifiedText(`${signedText('a', KEY)}!`, KEY)).toBeUndefined()
})

test('the key of pages is that of the oldest token key, and needs one', () => {
  const oldest = { keyId: 'a', privateJwk: 'x' }

  expect(pageKeyOf([{ keyId: 'b', privateJwk: 'y' }, oldest])).toEqual(pageKeyOf([oldest]))
  expect(() => pageKeyOf([])).toThrow('There is no signing key')
})
