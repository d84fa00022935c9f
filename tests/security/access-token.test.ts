import { importJWK, jwtVerify } from 'jose'
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

test('a token holds until it expires and not a second longer', async () => {
  const tokens = await openTokens(await keys('k'), SETTINGS)
  const token = await tokens.issue(GRANT, { tokenId: 't', nowS: NOW })

  expect(await tokens.verify(token, at(299))).toBeDefined()
  expect(await tokens.verify(token, at(300))).toBeUndefined()
})

test('the first key signs and every key verifies', async () => {
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

test('what is published of a key verifies and cannot sign', async () => {
  const tokens = await openTokens(await keys('newer', 'older'), SETTINGS)
  const { keys: published } = await tokens.publicKeys()

  expect(published.map(({ kid }) => kid)).toEqual(['newer', 'older'])
  for (const key of published)
    expect(Object.keys(key).toSorted()).toEqual(['alg', 'crv', 'kid', 'kty', 'use', 'x', 'y'])
  const token = await tokens.issue(GRANT, { tokenId: 't', nowS: NOW })
  const [first] = published
  if (first === undefined) throw new Error('no key')
  await expect(
    jwtVerify(token, await importJWK({ ...first }), { currentDate: at(0) }),
  ).resolves.toMatchObject({ payload: { jti: 't' } })
})
