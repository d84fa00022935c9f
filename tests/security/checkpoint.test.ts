import { compactVerify, importJWK } from 'jose'
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { newPrivateJwk } from '../../src/security/access-token.ts'
import {
  type Checkpoint,
  checkpointHash,
  checkpointText,
  readCheckpoint,
} from '../../src/security/checkpoint.ts'
import {
  type CheckpointKeys,
  openCheckpointKeys,
  wholeSignature,
} from '../../src/security/checkpoint-keys.ts'

const CHECKPOINT: Checkpoint = {
  clinic: '6f1d0c52-0000-4000-8000-000000000001',
  number: 2,
  takenAt: '2026-03-02T09:00:00.000Z',
  previous: '0a'.repeat(32),
  treeSize: 2,
  rootHash: '0b'.repeat(32),
  ranges: [
    { writer: '6f1d0c52-0000-4000-8000-00000000000a', from: 3, to: 4, head: '0c'.repeat(32) },
  ],
  records: 4,
  writers: 1,
}
const TEXT = checkpointText(CHECKPOINT)

describe('the text of a checkpoint', () => {
  test('has its names in order and no spaces, as RFC 8785 writes JSON', () => {
    expect(TEXT).toBe(
      `{"clinic":"6f1d0c52-0000-4000-8000-000000000001","number":2,"previous":"${'0a'.repeat(32)}","ranges":[{"from":3,"head":"${'0c'.repeat(32)}","to":4,"writer":"6f1d0c52-0000-4000-8000-00000000000a"}],"records":4,"rootHash":"${'0b'.repeat(32)}","takenAt":"2026-03-02T09:00:00.000Z","treeSize":2,"writers":1}`,
    )
  })

  test('is read back, and nothing that says the same in another way', () => {
    expect(readCheckpoint(TEXT)).toEqual(CHECKPOINT)
    for (const other of [
      TEXT.replace(',', ', '),
      TEXT.replace('"number":2', '"number":2.0'),
      TEXT.replace('"number":2', '"number":0'),
      TEXT.replace('"number":2', '"more":1,"number":2'),
      TEXT.replace('0a0a', '0A0A'),
      '{}',
      'nothing',
    ])
      expect(readCheckpoint(other), other).toBeUndefined()
  })

  test('is hashed by SHA-256', () => {
    // FIPS 180-4, example of one block: "abc".
    expect(checkpointHash('abc')).toBe(
      'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    )
  })
})

describe('its signature', () => {
  let old: { keyId: string; privateJwk: string }
  let keys: CheckpointKeys
  let signature: string
  beforeAll(async () => {
    old = { keyId: 'old', privateJwk: await newPrivateJwk() }
    const added = { keyId: 'new', privateJwk: await newPrivateJwk() }
    keys = await openCheckpointKeys([added, old])
    signature = await keys.sign(TEXT)
  })

  test('holds for the text that was signed and for no other', async () => {
    expect(await keys.verify(TEXT, signature)).toBe(true)
    expect(await keys.verify(TEXT.replace('"to":4', '"to":5'), signature)).toBe(false)
    for (const other of ['', '..', signature.slice(0, -4), 'a.b.c'])
      expect(await keys.verify(TEXT, other), other).toBe(false)
  })

  test('of a key that was replaced still holds; of an unknown key it does not', async () => {
    const before = await (await openCheckpointKeys([old])).sign(TEXT)
    const stranger = await openCheckpointKeys([{ keyId: 'new', privateJwk: await newPrivateJwk() }])
    const unknown = await openCheckpointKeys([{ ...old, keyId: 'who' }])

    expect(await keys.verify(TEXT, before)).toBe(true)
    expect(await keys.verify(TEXT, await stranger.sign(TEXT))).toBe(false)
    expect(await keys.verify(TEXT, await unknown.sign(TEXT))).toBe(false)
  })

  test('with its payload it is a JWS that the published key verifies', async () => {
    const jwk = z.record(z.string(), z.string()).parse(JSON.parse(keys.published[0] ?? ''))

    expect(Object.keys(jwk)).not.toContain('d')
    const verified = await compactVerify(
      wholeSignature(TEXT, signature),
      await importJWK(jwk, 'ES256'),
    )
    expect(Buffer.from(verified.payload).toString()).toBe(TEXT)
    expect(verified.protectedHeader).toEqual({
      alg: 'ES256',
      kid: 'new',
      typ: 'audit-checkpoint+jws',
    })
  })

  test('there are no signatures without a key', async () => {
    await expect(openCheckpointKeys([])).rejects.toThrow('no key')
  })
})
