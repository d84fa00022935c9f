import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Milestones } from '../../../src/domain/development/milestones.ts'
import type { Sign } from '../../../src/domain/child.ts'
import { atLeast, posturalSigns } from '../../../src/domain/decision/postural-signs.ts'
import { child, fact } from '../../helpers/child.ts'
import { milestonesWith, TODAY } from '../../helpers/findings.ts'

interface Walking {
  readonly notBefore?: string
  readonly notAfter: string
}
const onset = ({ notBefore, notAfter }: Walking): Milestones =>
  milestonesWith({
    walkingOnset: {
      ...(notBefore !== undefined && { notBefore: civilDate(notBefore) }),
      notAfter: civilDate(notAfter),
    },
  })

const sign = (
  which: Sign,
  recorded: boolean | undefined,
  milestones: Milestones = milestonesWith(),
  on = '2026-03-01',
) => {
  const signs = { ...child().signs, ...(recorded !== undefined && { [which]: fact(recorded, on) }) }
  const found = posturalSigns({ child: child({ signs }), asOf: TODAY, milestones }, 6)
  return found.find((one) => one.sign === which)
}

for (const which of [
  'habitual-w-sitting',
  'rises-onto-toes-for-stability',
  'forward-lean-with-knees-rolling-in',
] as const)
  test(`${which} counts as it was reported`, () => {
    expect(sign(which, true)?.holds).toBe('yes')
    expect(sign(which, false)?.holds).toBe('no')
    expect(sign(which, undefined)?.holds).toBe('unknown')
  })

/** Six months of 30.4375 days before 2026-03-01 are 182.6 days: 2025-08-31 is 182, 08-30 is 183. */
const LONG = { notBefore: '2025-08-20', notAfter: '2025-08-30' }
const SHORT = { notBefore: '2025-08-31', notAfter: '2025-09-10' }

for (const [which, counts] of [
  ['wide-guarded-gait', true],
  ['heel-contact-seen', false],
] as const) {
  test(`${which} counts only more than 6 months after walking onset`, () => {
    expect(sign(which, counts, onset(LONG))?.holds).toBe('yes')
    expect(sign(which, counts, onset(SHORT))?.holds).toBe('no')
    expect(sign(which, !counts, onset(LONG))?.holds).toBe('no')
    expect(sign(which, undefined, onset(LONG))?.holds).toBe('unknown')
  })

  test(`${which} seen years before the child walked says nothing of today`, () => {
    expect(sign(which, counts, onset(LONG), '2023-01-01')?.holds).toBe('unknown')
  })

  test(`${which} is unknown when onset may lie on either side of the limit, or is not known`, () => {
    const across = onset({ notBefore: '2025-06-01', notAfter: '2026-01-01' })
    const openStart = onset({ notAfter: '2026-01-01' })

    for (const milestones of [across, openStart, milestonesWith()]) {
      expect(sign(which, counts, milestones)).toMatchObject({
        holds: 'unknown',
        needsWalkingOnset: true,
      })
      expect(sign(which, !counts, milestones)?.holds).toBe('no')
    }
  })

  test(`${which} does not count while the child does not walk`, () => {
    expect(sign(which, counts, milestonesWith({ walksAlone: 'no' }))?.holds).toBe('no')
    expect(sign(which, undefined, milestonesWith({ walksAlone: 'no' }))?.holds).toBe('no')
  })

  test(`${which} seen in a new walker says nothing about today`, () => {
    const early = sign(which, counts, onset(LONG), '2025-10-01')

    expect(early).toMatchObject({ holds: 'unknown', needsWalkingOnset: false })
  })
}

test('so many are certain, possible, or neither', () => {
  expect(atLeast(2, ['yes', 'yes', 'unknown'])).toBe('yes')
  expect(atLeast(2, ['yes', 'unknown', 'no'])).toBe('unknown')
  expect(atLeast(2, ['yes', 'no', 'no'])).toBe('no')
  expect(atLeast(2, ['unknown', 'no', 'no'])).toBe('no')
  expect(atLeast(2, ['unknown', 'unknown'])).toBe('unknown')
})

test('exactly as long as the limit is not longer', () => {
  // 16 months of 30.4375 days are 487 days: from 2024-10-30 to 2026-03-01.
  const of = child({ signs: { ...child().signs, 'wide-guarded-gait': fact(true) } })
  const holdsSince = (day: string) => {
    const milestones = onset({ notBefore: day, notAfter: day })
    const found = posturalSigns({ child: of, asOf: TODAY, milestones }, 16)
    return found.find(({ sign: which }) => which === 'wide-guarded-gait')?.holds
  }

  expect(holdsSince('2024-10-30')).toBe('no')
  expect(holdsSince('2024-10-29')).toBe('yes')
})

test('a sign that does not turn on walking asks for no onset, nor does one that is settled', () => {
  expect(sign('habitual-w-sitting', undefined)?.needsWalkingOnset).toBe(false)
  expect(sign('wide-guarded-gait', true, onset(LONG))?.needsWalkingOnset).toBe(false)
  expect(sign('wide-guarded-gait', undefined, onset(LONG))?.needsWalkingOnset).toBe(false)
})
