import { createHash } from 'node:crypto'

// Merkle trees of RFC 9162, section 2.1 (the same as in RFC 6962), with SHA-256.

const LEAF = Buffer.of(0)
const NODE = Buffer.of(1)

const sha256 = (...parts: readonly Uint8Array[]): Buffer =>
  parts.reduce((hash, part) => hash.update(part), createHash('sha256')).digest()

export const leafHash = (entry: Uint8Array): Buffer => sha256(LEAF, entry)
const nodeHash = (left: Uint8Array, right: Uint8Array): Buffer => sha256(NODE, left, right)

/** The largest power of two below a size of at least two. */
function splitOf(size: number): number {
  let split = 1
  while (split * 2 < size) split *= 2
  return split
}

/** MTH, 2.1.1: one hash that stands for all entries in their order. */
export function treeHash(entries: readonly Uint8Array[]): Buffer {
  const [only, second] = entries
  if (only === undefined) return sha256()
  if (second === undefined) return leafHash(only)
  const split = splitOf(entries.length)
  return nodeHash(treeHash(entries.slice(0, split)), treeHash(entries.slice(split)))
}

/**
 * PATH, 2.1.3.1: with what the hash of an entry is combined, from the leaf up.
 *
 * @param index from 0
 */
export function inclusionPath(entries: readonly Uint8Array[], index: number): readonly Buffer[] {
  if (!Number.isInteger(index) || index < 0 || index >= entries.length)
    throw new RangeError('There is no such entry in the tree')
  if (entries.length === 1) return []
  const split = splitOf(entries.length)
  const [left, right] = [entries.slice(0, split), entries.slice(split)]
  return index < split
    ? [...inclusionPath(left, index), treeHash(right)]
    : [...inclusionPath(right, index - split), treeHash(left)]
}

export interface Inclusion {
  readonly entry: Uint8Array
  readonly index: number
  readonly size: number
  readonly path: readonly Uint8Array[]
  readonly root: Uint8Array
}

/** 2.1.3.2: does the path lead from the entry, at its place, to the root? */
export function verifyInclusion({ entry, index, size, path, root }: Inclusion): boolean {
  if (!Number.isInteger(index) || index < 0 || index >= size) return false
  let [place, last] = [index, size - 1]
  let hash = leafHash(entry)
  for (const sibling of path) {
    if (last === 0) return false
    if (isOdd(place) || place === last) {
      hash = nodeHash(sibling, hash)
      while (!isOdd(place) && place !== 0) [place, last] = [half(place), half(last)]
    } else hash = nodeHash(hash, sibling)
    ;[place, last] = [half(place), half(last)]
  }
  return last === 0 && hash.equals(root)
}

/** PROOF, 2.1.4.1: that a tree begins with the first `size` of its entries. */
export function consistencyProof(entries: readonly Uint8Array[], size: number): readonly Buffer[] {
  if (!Number.isInteger(size) || size < 1 || size > entries.length)
    throw new RangeError('There was no such tree')
  return subproof(entries, size, true)
}

/** @param isKnown whether the verifier has the hash of the entries to prove: the root of the first tree */
function subproof(
  entries: readonly Uint8Array[],
  size: number,
  isKnown: boolean,
): readonly Buffer[] {
  if (size === entries.length) return isKnown ? [] : [treeHash(entries)]
  const split = splitOf(entries.length)
  const [left, right] = [entries.slice(0, split), entries.slice(split)]
  return size <= split
    ? [...subproof(left, size, isKnown), treeHash(right)]
    : [...subproof(right, size - split, false), treeHash(left)]
}

export interface Consistency {
  readonly first: { readonly size: number; readonly root: Uint8Array }
  readonly second: { readonly size: number; readonly root: Uint8Array }
  readonly proof: readonly Uint8Array[]
}

/** 2.1.4.2: does the second tree begin with all that is in the first? */
export function verifyConsistency({ first, second, proof }: Consistency): boolean {
  if (!Number.isInteger(first.size) || first.size < 1 || first.size > second.size) return false
  const same = Buffer.from(first.root)
  if (first.size === second.size) return proof.length === 0 && same.equals(second.root)
  const path = isPowerOfTwo(first.size) ? [same, ...proof] : proof
  const [start, ...others] = path
  if (start === undefined || proof.length === 0) return false
  let [place, last] = [first.size - 1, second.size - 1]
  while (isOdd(place)) [place, last] = [half(place), half(last)]
  let before: Uint8Array = start
  let now: Uint8Array = start
  for (const sibling of others) {
    if (last === 0) return false
    if (isOdd(place) || place === last) {
      before = nodeHash(sibling, before)
      now = nodeHash(sibling, now)
      while (!isOdd(place) && place !== 0) [place, last] = [half(place), half(last)]
    } else now = nodeHash(now, sibling)
    ;[place, last] = [half(place), half(last)]
  }
  return last === 0 && same.equals(before) && Buffer.from(now).equals(second.root)
}

// Not by shifting: a shift is of 32 bits.
const half = (size: number): number => Math.floor(size / 2)
const isOdd = (size: number): boolean => size % 2 === 1
const isPowerOfTwo = (size: number): boolean => size === 1 || splitOf(size) * 2 === size
