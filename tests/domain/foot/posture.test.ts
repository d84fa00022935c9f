import { expect, test } from 'vitest'
import type { Foot } from '../../../src/domain/child.ts'
import { posture } from '../../../src/domain/foot/posture.ts'
import { degrees } from '../../../src/domain/units.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { agesAt, fpiOf } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const leftFoot = (known: Partial<Foot>, age = 20) =>
  posture(child({ feet: { left: foot(known), right: foot() } }), agesAt(age), RULES).left

test('pronation is excessive when all three planes are met', () => {
  const found = leftFoot({ fpi: fact({ 3: 1, 4: 0, 5: 1, 6: 2 }) }).excessivePronation

  expect(found).toMatchObject({ rule: 'excessive-pronation.left', holds: 'yes' })
  expect(found.sources).toEqual(['common-practice'])
  expect(found.evidence).toEqual(['Observation/a/_history/1'])
})

test('one plane that is not met settles it, whatever is unknown about the others', () => {
  expect(leftFoot({ fpi: fact({ 3: 0 }) }).excessivePronation.holds).toBe('no')
})

test('two planes met and one unknown: unknown', () => {
  expect(leftFoot({ fpi: fact({ 3: 2, 5: 2 }) }).excessivePronation).toMatchObject({
    holds: 'unknown',
    because: 'Planes of the left foot: coronal and sagittal met; transverse not known',
  })
})

test('nothing recorded: everything about the foot is unknown and no index is made up', () => {
  const found = leftFoot({})

  expect(found.excessivePronation.holds).toBe('unknown')
  expect(found.flexible.holds).toBe('unknown')
  expect(found.tightCalf.holds).toBe('unknown')
  expect(found.fixedCalf.holds).toBe('unknown')
  expect(found).not.toHaveProperty('fpi')
  expect(found.remarks).toEqual([])
})

test('nothing is inferred from the other foot', () => {
  const { right } = posture(
    child({ feet: { left: foot({ fpi: fact(fpiOf([2, 2, 2, 2, 2, 2])) }), right: foot() } }),
    agesAt(20),
    RULES,
  )

  expect(right.excessivePronation.holds).toBe('unknown')
})

test('one plane alone is called the ordinary foot, but only when the other two are known', () => {
  const remarks = (items: Record<number, number>) => leftFoot({ fpi: fact(items) }).remarks.join()

  expect(remarks({ 3: 2, 4: 0, 5: 0, 6: 0 })).toMatch(/One plane alone/)
  expect(remarks({ 3: 2, 4: 1, 5: 0, 6: 0 })).not.toMatch(/One plane alone/)
  expect(remarks({ 3: 2, 4: 0, 5: 0 })).not.toMatch(/One plane alone/)
})

test('the rules of thumb for the heel are remarks, with the mean that was measured', () => {
  const at = (age: number) => leftFoot({ heelEversion: fact(degrees(6)) }, age).remarks.join()

  // At 3 years: 7 - 3 = 4 and 8 - 3 = 5 (foot reference of the two rules); Pfeiffer 2006: 5.5.
  expect(at(36)).toMatch(/this age: 4 .* or 5 .*5\.5/)
  expect(at(84)).toMatch(/this age: 0 .* or 1 /)
  expect(at(84.1)).toBe('')
  expect(leftFoot({}, 36).remarks).toEqual([])
})

test('the rules of thumb decide nothing: 5 degrees at 6 years is over both and not met', () => {
  const found = leftFoot({ heelEversion: fact(degrees(5)) }, 72)

  expect(found.planes[0]?.finding.holds).toBe('no')
})

test('right and left are compared when both sums are complete', () => {
  const feet = {
    left: foot({ fpi: fact(fpiOf([1, 1, 1, 1, 1, 1])) }),
    right: foot({ fpi: fact(fpiOf([2, 2, 2, 2, 2, 2])) }),
  }

  expect(posture(child({ feet }), agesAt(48), RULES).sideDifference).toMatchObject({
    points: 6,
    band: 'severe',
  })
  expect(posture(child(), agesAt(48), RULES)).not.toHaveProperty('sideDifference')
})
