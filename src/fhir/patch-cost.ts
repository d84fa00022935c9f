import { DecimalText } from './decimal.ts'
import type { PatchPath } from './patch-path.ts'

/**
 * What the paths of one patch may cost together. One unit is a word or sign of a path on one value of the
 * resource: that is what evaluating grows with, since no function that is allowed leads back up. Our
 * judgement: half a second of an ordinary core at most, and some sixty usual paths on a resource of usual size.
 */
export const MOST_PATCH_COST = 200_000

/** To read a word or sign of a path costs about what it costs on this many values. */
const READING = 100

/** So many characters are read and written again at the cost of one unit. */
const CHARACTERS = 50

/** @param text the resource as JSON */
export const pathCost = ({ parts }: PatchPath, resource: unknown, text: string): number =>
  parts * (valuesIn(resource) + READING) + text.length / CHARACTERS

/** The values in a parsed JSON value, itself included; its nesting is bounded by that of a body. */
function valuesIn(value: unknown): number {
  if (typeof value !== 'object' || value === null || value instanceof DecimalText) return 1
  let count = 1
  for (const inner of Object.values(value)) count += valuesIn(inner)
  return count
}
