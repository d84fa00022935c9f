import { expect, test } from 'vitest'
import type { Foot } from '../../../src/domain/child.ts'
import { posture } from '../../../src/domain/foot/posture.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { degrees } from '../../../src/domain/units.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { agesAt, fpiOf } from '../../helpers/findings.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { messagesIn } from '../../helpers/messages.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const remarksOf = (...known: Parameters<typeof leftFoot>) =>
  leftFoot(...known)
    .remarks.map((remark) => en.therapist(remark))
    .join(' ')

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
  const { holds, because } = leftFoot({ fpi: fact({ 3: 2, 5: 2 }) }).excessivePronation

  expect(holds).toBe('unknown')
  expect(en.therapist(because)).toBe(
    'Left foot: not known whether pronation is excessive, which takes all three planes. Met: coronal and sagittal. Not known: transverse.',
  )
  expect(en.family(because)).toBe(
    "We do not know yet whether your child's left foot rolls in too far when standing. Your therapist still has to look at it. Rolling in is seen here: the heel and the arch. Here we do not know yet: the front of the foot.",
  )
  expect(speaker('es').therapist(because)).toBe(
    'Pie izquierdo: no se sabe si hay pronación excesiva, que exige los tres planos. Se cumplen: coronal y sagital. No se conocen: transversal.',
  )
})

test('all three planes met are said once, all three not met by name', () => {
  const said = (items: Record<number, number>) =>
    en.therapist(leftFoot({ fpi: fact(items) }).excessivePronation.because)

  expect(said({ 3: 1, 4: 1, 6: 1 })).toBe(
    'Left foot: excessive pronation, all three planes met in standing.',
  )
  expect(said({ 3: 0, 4: 0, 5: 0, 6: 0 })).toBe(
    'Left foot: no excessive pronation, which takes all three planes. Not met: coronal, sagittal, and transverse.',
  )
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

  expect(right.excessivePronation).toMatchObject({
    rule: 'excessive-pronation.right',
    holds: 'unknown',
  })
  expect(right.side).toBe('right')
})

test('one plane alone is called the ordinary foot, but only when the other two are known', () => {
  const remarks = (items: Record<number, number>) => remarksOf({ fpi: fact(items) })

  expect(remarks({ 3: 2, 4: 0, 5: 0, 6: 0 })).toMatch(/One plane alone/)
  expect(remarks({ 3: 2, 4: 1, 5: 0, 6: 0 })).not.toMatch(/One plane alone/)
  expect(remarks({ 3: 2, 4: 0, 5: 0 })).not.toMatch(/One plane alone/)
  expect(remarks({ 4: 0, 5: 0, 6: 0 })).not.toMatch(/One plane alone/)
})

test('the rules of thumb for the heel are remarks, with the mean that was measured', () => {
  const at = (age: number) => remarksOf({ heelEversion: fact(degrees(6)) }, age)

  // At 3 years: 7 - 3 = 4 and 8 - 3 = 5 (foot reference of the two rules); Pfeiffer 2006: 5.5.
  expect(at(36)).toMatch(/this age: 4 .* or 5 .*5\.5/)
  expect(at(84)).toMatch(/this age: 0 .* or 1 /)
  expect(at(84.1)).toBe('')
  expect(at(0)).toMatch(/this age: 7 .* or 8 /)
  expect(at(-0.1)).toBe('')
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

test('everything that is found about a foot is said in both languages to both readers', () => {
  const feet: Partial<Foot>[] = [
    {},
    { fpi: fact({ 3: 2, 4: 0, 5: 0, 6: 0 }), heelEversion: fact(degrees(3)) },
    { fpi: fact({ 3: 1, 4: 1, 5: 1, 6: 1 }) },
  ]

  const messages = feet.flatMap((known) => messagesIn(leftFoot(known, 40)))

  expect(messages.length).toBeGreaterThanOrEqual(21)
  expect(faultsInVoices(messages)).toEqual([])
})
