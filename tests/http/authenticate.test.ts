import type { FastifyRequest } from 'fastify'
import { expect, test } from 'vitest'
import { bearerAuthentication } from '../../src/http/authenticate.ts'
import type { Identity } from '../../src/security/access-token.ts'
import { clientActivity } from '../../src/services/client-activity.ts'

const START = Date.parse('2026-03-02T09:00:00Z')
const identity = (expiresAtMs: number): Identity => ({
  clinicId: 'c',
  clientId: 'd',
  tokenId: 't',
  expiresAtMs,
  scopes: [],
})
const request = (token: string) =>
  ({ headers: { authorization: `Bearer ${token}` } }) as unknown as FastifyRequest

/** An authentication whose clock a test sets; it counts the signatures that were checked. */
function watched({ lifetimeMs = 300_000, active = async () => true } = {}) {
  const state = { at: START, verified: 0, holds: true }
  const authenticate = bearerAuthentication(
    {
      verify: async (_token, at) => {
        state.verified += 1
        return state.holds && at.getTime() < START + lifetimeMs
          ? identity(START + lifetimeMs)
          : undefined
      },
    },
    active,
    () => new Date(state.at),
  )
  return { state, call: (token = 'a') => authenticate(request(token)) }
}

test('a signature is checked once in 30 seconds', async () => {
  const { state, call } = watched()
  await call()
  state.at += 29_999
  await call()
  expect(state.verified).toBe(1)

  state.at += 1
  await call()
  expect(state.verified).toBe(2)
})

test('a token that was taken holds until the millisecond of its expiry', async () => {
  const { state, call } = watched({ lifetimeMs: 10_000 })
  await call()
  state.at = START + 9_999
  await expect(call()).resolves.toMatchObject({ tokenId: 't' })

  state.at = START + 10_000
  await expect(call()).rejects.toMatchObject({ kind: 'unauthenticated' })
})

test('a token whose key is gone is refused after 30 seconds', async () => {
  const { state, call } = watched()
  await call()
  state.holds = false
  state.at += 30_000

  await expect(call()).rejects.toMatchObject({ kind: 'unauthenticated' })
})

test('what is remembered is bounded: of 100,000 tokens the first is checked anew', async () => {
  const { state, call } = watched()
  for (let number = 0; number < 100_000; number += 1) await call(`token-${number}`)
  await call('token-0')

  expect(state.verified).toBe(100_001)
})

test('a client that is no longer active is refused, its token known or not', async () => {
  let active = true
  const { call } = watched({ active: async () => active })
  await call('known')
  active = false

  await expect(call('known')).rejects.toMatchObject({ kind: 'unauthenticated' })
  await expect(call('new')).rejects.toMatchObject({ kind: 'unauthenticated' })
})

/** A database that counts how often it is asked. */
function askedDatabase() {
  const state = { at: START, asked: 0, rows: [{}], fails: false }
  const isActive = clientActivity(
    {
      readInClinic: async <Row>() => {
        state.asked += 1
        if (state.fails) throw new Error('gone')
        return state.rows as Row[]
      },
    },
    () => new Date(state.at),
  )
  return { state, ask: (clientId = 'd') => isActive({ ...identity(0), clientId }) }
}

test('requests that come together share one statement', async () => {
  const { state, ask } = askedDatabase()
  const answers = await Promise.all(Array.from({ length: 500 }, () => ask()))

  expect(answers.every(Boolean)).toBe(true)
  expect(state.asked).toBe(1)
})

test('a revoked client is known as such after 30 seconds at the latest', async () => {
  const { state, ask } = askedDatabase()
  expect(await ask()).toBe(true)
  state.rows = []
  state.at += 29_999
  expect(await ask()).toBe(true)
  state.at += 1
  expect(await ask()).toBe(false)
  expect(state.asked).toBe(2)
})

test('an answer that failed is asked for anew, and each client for itself', async () => {
  const { state, ask } = askedDatabase()
  state.fails = true
  await expect(ask()).rejects.toThrow('gone')
  state.fails = false
  expect(await ask()).toBe(true)
  expect(await ask('another')).toBe(true)
  expect(state.asked).toBe(3)
})
