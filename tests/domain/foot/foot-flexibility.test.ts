import { expect, test } from 'vitest'
import type { Foot } from '../../../src/domain/child.ts'
import { flexibleFoot, rigidityRemark } from '../../../src/domain/foot/foot-flexibility.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { fact, foot } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

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
  const { because } = flexibleFoot('right', footWith(true, false, undefined))

  expect(speaker('en').therapist(because)).toBe(
    'Right foot: flexible, since one test that corrects it is enough. Corrects it: tiptoe test. Does not correct it: great-toe extension. Not recorded: look at the unloaded foot.',
  )
  expect(speaker('en').family(because)).toBe(
    "Your child's right foot straightens by itself in at least one test, so it is flexible. The foot straightened: standing on tiptoe. The foot did not straighten: lifting the big toe. Not done or not written down: looking at the foot with no weight on it.",
  )
  expect(speaker('es').family(because)).toContain('El pie derecho de su hijo o hija se endereza')
})

test('a foot that nobody has tested lists the tests and nothing else', () => {
  const { because } = flexibleFoot('left', footWith(undefined, undefined, undefined))

  expect(speaker('en').therapist(because)).toBe(
    'Left foot: not known whether it is flexible. Not recorded: tiptoe test, great-toe extension, and look at the unloaded foot.',
  )
})

test('what is unknown is never called flexible or stiff to the family', () => {
  const { because } = flexibleFoot('left', footWith(false, false, undefined))

  expect(speaker('en').family(because)).toMatch(/^We do not know yet .*still has to do/)
})

test('every outcome is said in both languages to both readers', () => {
  const feet = CASES.map(([tiptoe, toe, unloaded]) => footWith(tiptoe, toe, unloaded))

  const messages = feet.flatMap((of) => {
    const found = flexibleFoot('left', of)
    return [found.because, ...rigidityRemark(of, found)]
  })

  expect(faultsInVoices(messages)).toEqual([])
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
