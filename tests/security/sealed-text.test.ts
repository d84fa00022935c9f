import { createHash } from 'node:crypto'
import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { pageKeyOf } from '../../src/security/page-key.ts'
import { openedText, sealedText } from '../../src/security/sealed-text.ts'

const keyOf = (name: string) => createHash('sha256').update(name).digest()
const KEY = keyOf('a key of this test')

test('a text is opened as it was sealed', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), fc.string(), (text, binding) => {
      expect(openedText(sealedText(text, KEY, binding), KEY, binding)).toBe(text)
    }),
  )
})

test('it is opened with the same key and binding alone', () => {
  const sealed = sealedText('Musterkind', KEY, 'page')

  expect(openedText(sealed, keyOf('another key'), 'page')).toBeUndefined()
  expect(openedText(sealed, KEY, 'another page')).toBeUndefined()
})

test('what is sealed cannot be read', () => {
  const sealed = Buffer.from(sealedText('Musterkind', KEY, 'page'), 'base64url')

  expect(sealed.toString('latin1')).not.toContain('Musterkind')
})

test('the same text is sealed the same, another one otherwise from its first character', () => {
  expect(sealedText('a', KEY, 'page')).toBe(sealedText('a', KEY, 'page'))
  expect(sealedText('a', KEY, 'page').slice(0, 8)).not.toBe(
    sealedText('b', KEY, 'page').slice(0, 8),
  )
})

test('a change of any byte is seen', () => {
  const bytes = Buffer.from(sealedText('Musterkind', KEY, 'page'), 'base64url')

  for (const index of bytes.keys()) {
    const changed = Buffer.from(bytes)
    changed.writeUInt8(bytes.readUInt8(index) ^ 1, index)
    expect(openedText(changed.toString('base64url'), KEY, 'page'), String(index)).toBeUndefined()
  }
})

test.each(['', 'x', '====', 'not base64url!', 'A'.repeat(37), 'A'.repeat(200)])(
  '%j opens nothing',
  (text) => {
    expect(openedText(text, KEY, 'page')).toBeUndefined()
  },
)

test('another writing of the same bytes opens nothing', () => {
  const sealed = sealedText('Musterkind', KEY, 'page')

  expect(openedText(`${sealed}=`, KEY, 'page')).toBeUndefined()
  expect(openedText(` ${sealed}`, KEY, 'page')).toBeUndefined()
})

test('the key of pages is that of the oldest token key, and needs one', () => {
  const oldest = { keyId: 'a', privateJwk: 'x' }

  expect(pageKeyOf([{ keyId: 'b', privateJwk: 'y' }, oldest])).toEqual(pageKeyOf([oldest]))
  expect(() => pageKeyOf([])).toThrow('There is no signing key')
})
