import { expect, test } from 'vitest'
import { newPrivateJwk, openTokens } from '../../src/security/access-token.ts'

const SETTINGS = { issuer: 'urn:a', audience: 'urn:b', lifetimeS: 300 }
const NOW = 1_772_442_000
const at = (seconds: number) => new Date((NOW + seconds) * 1000)
const GRANT = { clinicId: 'c', partnerId: undefined, clientId: 'd', scope: 'system/Patient.r' }

const keys = async (...names: string[]) =>
  Promise.all(names.map(async (keyId) => ({ keyId, privateJwk: await newPrivateJwk() })))

test('a token says who calls, for which clinic, until when', async () => {
  const tokens = await openTokens(await keys('k'), SETTINGS)
  const token = await tokens.issue({ ...GRANT, partnerId: 'p' }, { tokenId: 't', nowS: NOW })

  expect(await tokens.verify(token, at(0))).toEqual({
    clinicId: 'c',
    partnerId: 'p',
    clientId: 'd',
    tokenId: 't',
    expiresAtMs: (NOW + 300) * 1000,
    scopes: [{ type: 'Patient', letters: ['r'] }],
  })
})

test('staff have no partner', async () => {
  const tokens = await openTokens(await keys('k'), SETTINGS)
  const token = await tokens.issue(GRANT, { tokenId: 't', nowS: NOW })

  expect(await tokens.verify(token, at(0))).not.toHaveProperty('partnerId')
})

test('a token holds until it expires, and five seconds for clocks that differ', async () => {
  const tokens = await openTokens(await keys('k'), SETTINGS)
  const token = await tokens.issue(GRANT, { tokenId: 't', nowS: NOW })

  expect(await tokens.verify(token, at(304))).toBeDefined()
  expect(await tokens.verify(token, at(306))).toBeUndefined()
})

test('the newest key signs and every key verifies', async () => {
  const [older, newer] = await keys('older', 'newer')
  if (older === undefined || newer === undefined) throw new Error('no keys')
  const before = await openTokens([older], SETTINGS)
  const after = await openTokens([newer, older], SETTINGS)
  const old = await before.issue(GRANT, { tokenId: 't', nowS: NOW })
  const fresh = await after.issue(GRANT, { tokenId: 't', nowS: NOW })

  expect(await after.verify(old, at(0))).toBeDefined()
  expect(await after.verify(fresh, at(0))).toBeDefined()
  expect(await before.verify(fresh, at(0))).toBeUndefined()
})

test('a grant of no scope makes a token that nobody can use', async () => {
  const tokens = await openTokens(await keys('k'), SETTINGS)
  const token = await tokens.issue({ ...GRANT, scope: '' }, { tokenId: 't', nowS: NOW })

  expect(await tokens.verify(token, at(0))).toBeUndefined()
})

test('without a key there are no tokens', async () => {
  await expect(openTokens([], SETTINGS)).rejects.toThrow('no key')
})
