import {
  assert,
  constantFrom,
  double,
  integer,
  property,
  shuffledSubarray,
  tuple,
} from 'fast-check'
import { expect, test } from 'vitest'
import { addDays, civilDate } from '../../../src/domain/calendar.ts'
import { suitability } from '../../../src/domain/decision/suitability.ts'
import type { Urgency } from '../../../src/domain/urgency/urgency.ts'
import { urgency } from '../../../src/domain/urgency/urgency.ts'
import { affectedFoot, agesAt, assess, fpiOf, knownChild } from '../../helpers/findings.ts'
import { milestonesWith, tempoWith } from '../../helpers/findings.ts'
import { degrees, millimetres } from '../../../src/domain/units.ts'
import { fact } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'
import { anyHidden, anyWhole, partly, type Whole } from '../../helpers/whole-child.ts'

const urgencyOf = (...args: Parameters<typeof assess>): Urgency => {
  const assessed = assess(...args)
  return urgency({ ...assessed, suitability: suitability(assessed, RULES) }, RULES)
}
const partOf = (id: string, ...args: Parameters<typeof assess>) =>
  urgencyOf(...args).contributions.find((one) => one.id === id)?.points ?? Number.NaN
const urgencyWithout = (whole: Whole, hidden: readonly string[]) =>
  urgencyOf(...partly(whole, hidden))

const ROUNDING = 1e-9

test('every contribution lies within its range and its maximum, and the score is their sum', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const found = urgencyWithout(whole, hidden)
      const outside = found.contributions.filter(
        ({ low, points, high, max }) =>
          !(0 <= low && low <= points && points <= high && high <= max),
      )
      const sum = found.contributions.map(({ points }) => points).reduce((a, b) => a + b)

      expect(outside).toEqual([])
      expect(found.score).toBeCloseTo(sum, 10)
      expect(found.low).toBeLessThanOrEqual(found.score)
      expect(found.high).toBeGreaterThanOrEqual(found.score)
      expect(found.high).toBeLessThanOrEqual(100)
    }),
  )
})

test('a fact that arrives never widens a range', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const before = urgencyWithout(whole, hidden).contributions
      const after = urgencyWithout(whole, hidden.slice(1)).contributions
      const widened = after.filter(({ high, low }, index) => {
        const { low: lowBefore = 0, high: highBefore = 0 } = before[index] ?? {}
        return high - low > highBefore - lowBefore + ROUNDING
      })

      expect(widened).toEqual([])
    }),
  )
})

test('a fact that arrives leaves the points inside the range that was given before', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const before = urgencyWithout(whole, hidden)
      const after = urgencyWithout(whole, [])

      expect(after.score).toBeGreaterThanOrEqual(before.low - ROUNDING)
      expect(after.score).toBeLessThanOrEqual(before.high + ROUNDING)
    }),
  )
})

test('a higher probability of delay never lowers the score', () => {
  const share = double({ min: 0, max: 1, noNaN: true })
  const levels = ['atLeast25', 'atLeast33', 'atLeast50'] as const
  assert(
    property(constantFrom(...levels), share, share, (level, one, other) => {
      const at = (probability: number) =>
        partOf('motor-delay', knownChild(), { tempo: tempoWith({ [level]: probability }) })

      expect(at(Math.max(one, other))).toBeGreaterThanOrEqual(at(Math.min(one, other)))
    }),
  )
})

test('a lower standardised result never lowers the score', () => {
  const z = double({ min: -4, max: 2, noNaN: true })
  assert(
    property(z, z, (one, other) => {
      const at = (value: number) =>
        partOf('motor-delay', knownChild({ standardised: fact({ kind: 'z-score', z: value }) }))

      expect(at(Math.min(one, other))).toBeGreaterThanOrEqual(at(Math.max(one, other)))
    }),
  )
})

test('a later last milestone never raises the score', () => {
  const days = integer({ min: 0, max: 600 })
  assert(
    property(days, days, (one, other) => {
      const ago = (count: number) =>
        partOf('stalled', knownChild(), {
          milestones: milestonesWith({
            states: {
              'standing-with-assistance': 'attained',
              'walking-with-assistance': 'not-yet',
            },
            lastAttainedOn: addDays(civilDate('2026-03-01'), -count),
          }),
        })

      expect(ago(Math.min(one, other))).toBeLessThanOrEqual(ago(Math.max(one, other)))
    }),
  )
})

test('a higher item of the Foot Posture Index never lowers the score', () => {
  const score = integer({ min: -2, max: 2 })
  const six = tuple(score, score, score, score, score, score)
  assert(
    property(six, integer({ min: 0, max: 5 }), (scores, index) => {
      const at = (items: readonly number[]) => {
        const foot = affectedFoot({ fpi: fact(fpiOf(items)) })
        return partOf('pronation', knownChild({ feet: { left: foot, right: foot } }))
      }
      const higher = scores.with(index, Math.min(2, (scores[index] ?? 0) + 1))

      expect(at(higher)).toBeGreaterThanOrEqual(at(scores))
    }),
  )
})

test('longer waiting never lowers the score, and a greater age never raises the window', () => {
  const days = integer({ min: 0, max: 90 })
  const age = double({ min: 6, max: 72, noNaN: true })
  assert(
    property(days, days, age, age, (one, other, younger, older) => {
      const waited = (count: number) =>
        partOf('waiting', knownChild(), { asOf: addDays(civilDate('2026-03-01'), count) })
      const aged = (months: number) => partOf('window', knownChild(), { ages: agesAt(months) })

      expect(waited(Math.max(one, other))).toBeGreaterThanOrEqual(waited(Math.min(one, other)))
      expect(aged(Math.max(younger, older))).toBeLessThanOrEqual(aged(Math.min(younger, older)))
    }),
  )
})

test('a larger percentage of delay never lowers the score', () => {
  const percent = double({ min: -100, max: 100, noNaN: true })
  assert(
    property(percent, percent, (one, other) => {
      const of = (value: number) =>
        partOf(
          'motor-delay',
          knownChild({ standardised: fact({ kind: 'percent-delay', percent: value } as const) }),
        )

      expect(of(Math.max(one, other))).toBeGreaterThanOrEqual(of(Math.min(one, other)))
    }),
  )
})

test.each(['heelEversion', 'navicularDrop'] as const)(
  'a larger %s never lowers the score',
  (measure) => {
    const size = integer({ min: 0, max: 30 })
    assert(
      property(size, size, (one, other) => {
        const of = (value: number) => {
          const known =
            measure === 'heelEversion'
              ? { heelEversion: fact(degrees(value)) }
              : { navicularDrop: fact(millimetres(value)) }
          const foot = affectedFoot({ fpi: 'unknown', ...known })
          return partOf('pronation', knownChild({ feet: { left: foot, right: foot } }))
        }

        expect(of(Math.max(one, other))).toBeGreaterThanOrEqual(of(Math.min(one, other)))
      }),
    )
  },
)

test('a sign of falls, of rising onto the toes or of refusing to stand never lowers the score', () => {
  const SAFETY = [
    'falls-beyond-practice',
    'rises-onto-toes-for-stability',
    'refuses-to-stand',
  ] as const
  assert(
    property(constantFrom(...SAFETY), shuffledSubarray([...SAFETY]), (sign, seen) => {
      const of = (present: readonly string[]) => {
        const { signs } = knownChild()
        const recorded = Object.fromEntries(SAFETY.map((one) => [one, fact(present.includes(one))]))
        return partOf('safety', knownChild({ signs: { ...signs, ...recorded } }))
      }

      expect(of([...seen, sign])).toBeGreaterThanOrEqual(of(seen))
    }),
  )
})

test('to bear weight never lowers the score', () => {
  assert(
    property(double({ min: 6, max: 72, noNaN: true }), (months) => {
      const of = (bearsWeight: 'yes' | 'no') =>
        partOf('window', knownChild(), {
          ages: agesAt(months),
          milestones: milestonesWith({ bearsWeight }),
        })

      expect(of('yes')).toBeGreaterThanOrEqual(of('no'))
    }),
  )
})
