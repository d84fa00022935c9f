import { expect, test } from 'vitest'
import { isPassword, newPassword, sealPassword } from '../../src/security/password.ts'

test('the password that was sealed is it, and no other', async () => {
  const sealed = await sealPassword('correct horse battery')

  expect(await isPassword('correct horse battery', sealed)).toBe(true)
  expect(await isPassword('Correct horse battery', sealed)).toBe(false)
  expect(await isPassword('', sealed)).toBe(false)
})

test('the same password is sealed differently each time, and its text is in none', async () => {
  const [one, other] = [
    await sealPassword('a quiet morning'),
    await sealPassword('a quiet morning'),
  ]

  expect(one).not.toBe(other)
  expect(one).not.toContain('quiet')
})

test('letters that were composed differently are the same password (NFKC, NIST SP 800-63B-4 3.1.1.2)', async () => {
  const sealed = await sealPassword('café am morgen früh')

  expect(await isPassword('cafe\u0301 am morgen fru\u0308h', sealed)).toBe(true)
})

test('the cost is kept beside it: N 2^15, r 8, p 3, as OWASP gives them for scrypt with 32 MiB', async () => {
  expect((await sealPassword('a quiet morning')).split('$').slice(0, 4)).toEqual([
    'scrypt',
    '32768',
    '8',
    '3',
  ])
})

test('what was sealed in another form is nobody’s password', async () => {
  expect(await isPassword('a quiet morning', 'a quiet morning')).toBe(false)
  expect(await isPassword('', '')).toBe(false)
})

test('a made password has 25 signs in five groups, none easily misread, and is new each time', () => {
  const made = Array.from({ length: 200 }, newPassword)

  expect(made.every((one) => /^(?:[a-hjkmnp-z2-9]{5}-){4}[a-hjkmnp-z2-9]{5}$/.test(one))).toBe(true)
  expect(new Set(made).size).toBe(200)
})
