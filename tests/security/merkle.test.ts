import { array, assert, constantFrom, integer, property, uint8Array } from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  consistencyProof,
  inclusionPath,
  leafHash,
  treeHash,
  verifyConsistency,
  verifyInclusion,
} from '../../src/security/merkle.ts'

// Reference vectors published with the Certificate Transparency reference implementation for RFC 6962, whose
// trees RFC 9162 keeps: its eight leaf inputs, the roots of the trees of the first n of them, proofs.
const INPUTS = [
  '',
  '00',
  '10',
  '2021',
  '3031',
  '40414243',
  '5051525354555657',
  '606162636465666768696a6b6c6d6e6f',
].map((hex) => Buffer.from(hex, 'hex'))
const ROOTS = [
  'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855',
  '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d',
  'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125',
  'aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77',
  'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
  '4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4',
  '76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef',
  'ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c',
  '5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328',
]
type Vector = readonly [at: number, size: number, ...hashes: string[]]
const INCLUSIONS: readonly Vector[] = [
  [0, 1],
  [0, 2, '96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7'],
  [1, 2, '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d'],
  [2, 3, 'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125'],
  [
    1,
    5,
    '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d',
    '5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e',
    'bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b',
  ],
  [
    0,
    8,
    '96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7',
    '5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e',
    '6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4',
  ],
  [
    5,
    8,
    'bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b',
    'ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0',
    'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
  ],
]
const CONSISTENCIES: readonly Vector[] = [
  [1, 1],
  [
    1,
    8,
    '96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7',
    '5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e',
    '6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4',
  ],
  [
    2,
    5,
    '5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e',
    'bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b',
  ],
  [
    6,
    8,
    '0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a',
    'ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0',
    'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
  ],
]

const hex = (hashes: readonly Buffer[]) => hashes.map((hash) => hash.toString('hex'))
const bytes = (text: string | undefined): Buffer => Buffer.from(text ?? '', 'hex')

describe('the reference vectors', () => {
  test('the roots of the trees of none to eight entries are the published ones', () => {
    expect(ROOTS.map((_, size) => treeHash(INPUTS.slice(0, size)).toString('hex'))).toEqual(ROOTS)
  })

  test('the paths are the published ones, and lead to the roots', () => {
    for (const [index, size, ...path] of INCLUSIONS) {
      const entry = INPUTS[index] ?? Buffer.alloc(0)
      const root = bytes(ROOTS[size])

      expect(hex(inclusionPath(INPUTS.slice(0, size), index))).toEqual(path)
      expect(verifyInclusion({ entry, index, size, root, path: path.map(bytes) })).toBe(true)
    }
  })

  test('the proofs of consistency are the published ones, and hold between the roots', () => {
    for (const [from, to, ...proof] of CONSISTENCIES) {
      const first = { size: from, root: bytes(ROOTS[from]) }
      const second = { size: to, root: bytes(ROOTS[to]) }

      expect(hex(consistencyProof(INPUTS.slice(0, to), from))).toEqual(proof)
      expect(verifyConsistency({ first, second, proof: proof.map(bytes) })).toBe(true)
    }
  })
})

const entries = array(uint8Array({ maxLength: 40 }), { minLength: 1, maxLength: 70 })
const seed = integer({ min: 0, max: 1_000_000 })
const flipped = (hash: Uint8Array) => hash.map((byte, place) => (place === 7 ? byte ^ 1 : byte))

describe('laws', () => {
  test('every path leads to the root, and no longer with anything changed', () => {
    assert(
      property(entries, seed, seed, (all, at, which) => {
        const [size, index] = [all.length, at % all.length]
        const entry = all[index] ?? new Uint8Array()
        const [path, root] = [inclusionPath(all, index), treeHash(all)]
        const honest = { entry, index, size, path, root }

        expect(verifyInclusion(honest)).toBe(true)
        expect(verifyInclusion({ ...honest, entry: Buffer.concat([entry, Buffer.of(1)]) })).toBe(
          false,
        )
        expect(verifyInclusion({ ...honest, root: flipped(root) })).toBe(false)
        expect(verifyInclusion({ ...honest, path: [...path, root] })).toBe(false)
        expect(verifyInclusion({ ...honest, path: path.slice(0, -1) })).toBe(path.length === 0)
        const changed = path.map((hash, n) => (n === which % path.length ? flipped(hash) : hash))
        expect(verifyInclusion({ ...honest, path: changed })).toBe(path.length === 0)
        expect(verifyInclusion({ ...honest, index: size })).toBe(false)
        expect(verifyInclusion({ ...honest, index: -1 })).toBe(false)
      }),
    )
  })

  test('an entry is proven at its own place only', () => {
    assert(
      property(entries, seed, seed, (any, at, elsewhere) => {
        // Of two entries that are the same either may stand in the other's place.
        const all = any.map((one, place) => Buffer.concat([Buffer.of(place >> 8, place), one]))
        const [index, other] = [at % all.length, elsewhere % all.length]
        const entry = all[index] ?? new Uint8Array()
        const claim = { entry, index: other, size: all.length, root: treeHash(all) }

        expect(verifyInclusion({ ...claim, path: inclusionPath(all, index) })).toBe(index === other)
      }),
    )
  })

  test('a tree that only grew is proven to; one in which an earlier entry changed never is', () => {
    assert(
      property(entries, seed, seed, (all, at, which) => {
        const size = (at % all.length) + 1
        const first = { size, root: treeHash(all.slice(0, size)) }
        const second = { size: all.length, root: treeHash(all) }
        const proof = consistencyProof(all, size)
        const altered = all.map((entry, n) => (n === which % size ? leafHash(entry) : entry))
        const rewritten = { size: all.length, root: treeHash(altered) }

        expect(verifyConsistency({ first, second, proof })).toBe(true)
        expect(verifyConsistency({ first, second: rewritten, proof })).toBe(false)
        expect(
          verifyConsistency({ first, second: rewritten, proof: consistencyProof(altered, size) }),
        ).toBe(false)
        expect(verifyConsistency({ first, second, proof: [...proof, first.root] })).toBe(false)
        expect(verifyConsistency({ first, second, proof: proof.slice(0, -1) })).toBe(
          proof.length === 0,
        )
      }),
    )
  })

  test('a tree never shrinks and none is proven to follow from nothing', () => {
    assert(
      property(entries, constantFrom(0, -1, 0.5), (all, size) => {
        const whole = { size: all.length, root: treeHash(all) }
        const more = { size: all.length + 1, root: whole.root }

        expect(verifyConsistency({ first: more, second: whole, proof: [] })).toBe(false)
        expect(verifyConsistency({ first: { ...whole, size }, second: whole, proof: [] })).toBe(
          false,
        )
        expect(() => consistencyProof(all, size)).toThrow(RangeError)
        expect(() => consistencyProof(all, all.length + 1)).toThrow(RangeError)
        expect(() => inclusionPath(all, all.length)).toThrow(RangeError)
      }),
    )
  })

  test('two entries are not mistaken for the node above them', () => {
    const [left, right] = [leafHash(Buffer.of(1)), leafHash(Buffer.of(2))]

    expect(treeHash([Buffer.concat([left, right])])).not.toEqual(
      treeHash([Buffer.of(1), Buffer.of(2)]),
    )
  })
})
