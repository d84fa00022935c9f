import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { remedyOfMm, remedyOfNo } from '../../../src/domain/follow-up/fit-check-remedy.ts'
import { RULES } from '../../helpers/rules.ts'

const items = fitCheck(['left'], RULES)
const mm = (id: string, value: number) => remedyOfMm(id, value, RULES)?.adjustment

test('the closure belongs 13 mm open: a narrow one is trimmed, a wide one needs a larger size', () => {
  expect(mm('closure-gap', 6)).toEqual({ what: 'closure-edges', direction: 'take-off', mm: 7 })
  expect(mm('closure-gap', -2)).toEqual({ what: 'closure-edges', direction: 'take-off', mm: 15 })
  expect(mm('closure-gap', 20)).toEqual({ what: 'size', direction: 'larger', mm: 7 })
})

test('the inner edge belongs 4 mm behind the metatarsal head', () => {
  expect(mm('medial-trim-line', 1)).toEqual({ what: 'medial-edge', direction: 'take-off', mm: 3 })
  expect(mm('medial-trim-line', 9)).toEqual({ what: 'medial-edge', direction: 'longer', mm: 5 })
})

test('the outer edge belongs 2 mm before the sulcus', () => {
  expect(mm('lateral-trim-line', -1)).toEqual({
    what: 'lateral-edge',
    direction: 'take-off',
    mm: 3,
  })
  expect(mm('lateral-trim-line', 5)).toEqual({ what: 'lateral-edge', direction: 'longer', mm: 3 })
})

test('the sentence names the millimetres; an overlap is called one', () => {
  const words = (id: string, value: number) => remedyOfMm(id, value, RULES)?.wording.therapist

  expect(words('closure-gap', -2)).toMatch(/overlaps by 2 mm: take 15 mm off/)
  expect(words('closure-gap', 6)).toMatch(/stands 6 mm open: take 7 mm off/)
  expect(words('closure-gap', 20.25)).toMatch(/20.3 mm open, 7.3 mm more .* larger size/)
  expect(words('medial-trim-line', 1)).toMatch(/1 mm short of the first metatarsal head: take 3 mm/)
  expect(words('lateral-trim-line', 5)).toMatch(
    /fifth-toe sulcus, 3 mm too far back: a longer plate/,
  )
})

test('every item that can fail has a remedy in two voices, and no other has', () => {
  for (const { id, answer } of items) {
    const no = remedyOfNo(id)
    const out = remedyOfMm(id, 50, RULES)
    expect([id, no !== undefined, out !== undefined]).toEqual([
      id,
      answer === 'yes-no',
      answer === 'mm',
    ])
    const { therapist, family } = (no ?? out)?.wording ?? { therapist: 'a', family: 'b' }
    expect(therapist).not.toBe(family)
  }
  expect(remedyOfNo('invented')).toBeUndefined()
  expect(remedyOfMm('invented', 3, RULES)).toBeUndefined()
})

test('a change by the millimetres named reaches the target', () => {
  const targets = [
    ['closure-gap', 13],
    ['medial-trim-line', 4],
    ['lateral-trim-line', 2],
  ] as const
  fc.assert(
    fc.property(
      fc.constantFrom(...targets),
      fc.double({ min: -40, max: 60, noNaN: true }),
      ([id, target], value) => {
        const found = mm(id, value)
        const change = found?.direction === 'take-off' ? 1 : -1

        expect(value + change * Number(found?.mm)).toBeCloseTo(target, 9)
      },
    ),
  )
})
