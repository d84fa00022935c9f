import { expect, test } from 'vitest'
import type { Foot } from '../../../src/domain/child.ts'
import { flexibleFoot, rigidityRemark } from '../../../src/domain/foot/foot-flexibility.ts'
import { fact, foot } from '../../helpers/child.ts'

type Seen = boolean | undefined
const record = (seen: Seen) => (seen === undefined ? 'unknown' : fact(seen))
const footWith = (tiptoe: Seen, toe: Seen, unloaded: Seen): Foot =>
  foot({
    tiptoeArchAndHeelInversion: record(tiptoe),
    greatToeExtensionRaisesArch: record(toe),
    archSeenUnloaded: record(unloaded),
  })

const CASES: [Seen, Seen, Seen, string][] = [
  [undefined, undefined, undefined, 'unknown'],
  [true, undefined, undefined, 'yes'],
  [undefined, true, undefined, 'yes'],
  [undefined, undefined, true, 'yes'],
  [false, false, true, 'yes'],
  [true, false, false, 'yes'],
  [false, undefined, undefined, 'unknown'],
  [false, false, undefined, 'unknown'],
  [undefined, undefined, false, 'unknown'],
  [undefined, false, false, 'unknown'],
  [false, false, false, 'no'],
]
for (const [tiptoe, toe, unloaded, expected] of CASES)
  test(`tiptoe ${tiptoe}, great toe ${toe}, unloaded ${unloaded}: flexible ${expected}`, () => {
    const found = flexibleFoot('left', footWith(tiptoe, toe, unloaded))

    expect(found).toMatchObject({ rule: 'flexible-foot.left', holds: expected })
    expect(found.sources).toEqual(['flexibility-tests'])
  })

test('the sentence names what corrects the foot, what does not and what is not recorded', () => {
  expect(flexibleFoot('right', footWith(true, false, undefined)).because).toBe(
    'Right foot: the tiptoe test: corrects it; great-toe extension: does not correct it; the unloaded look: not recorded',
  )
})

test('a negative tiptoe or great-toe test is remarked on while rigidity is open, and only then', () => {
  const remark = (of: Foot) => rigidityRemark(of, flexibleFoot('left', of)).length

  expect(remark(footWith(false, undefined, undefined))).toBe(1)
  expect(remark(footWith(undefined, false, undefined))).toBe(1)
  expect(remark(footWith(undefined, undefined, false))).toBe(0)
  expect(remark(footWith(undefined, undefined, undefined))).toBe(0)
  expect(remark(footWith(false, true, undefined))).toBe(0)
  expect(remark(footWith(false, false, false))).toBe(0)
})
