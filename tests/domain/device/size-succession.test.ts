import * as fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { civilDate, daysBetween } from '../../../src/domain/calendar.ts'
import { type SizeSuccession, sizesUntil } from '../../../src/domain/device/size-succession.ts'
import type { SizeChart } from '../../../src/domain/device/sizing.ts'
import { sizing } from '../../../src/domain/device/sizing.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { months } from '../../../src/domain/units.ts'
import { child, foot } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { agesAt, AS_OF, chartOf, measuredFoot, size, taken } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

/**
 * The published curve: 122.7 mm at 18, 132.6 at 24, 148.4 at 36 and 160.9 mm at 48 months. Each of
 * these sizes ends the reserve of 3 mm beyond one of them.
 */
const BY_AGE = chartOf(
  size({ code: 'until 24', footLength: { min: 118, max: 135.6 }, medialPlate: 100, maxTrim: 90 }),
  size({ code: 'until 36', footLength: { min: 135.6, max: 151.4 }, medialPlate: 120, maxTrim: 90 }),
  size({ code: 'until 48', footLength: { min: 151.4, max: 163.9 }, medialPlate: 130, maxTrim: 90 }),
)

const until = (age: number, mm = 122.7, { chart = BY_AGE, now = 18 } = {}) => {
  const own = measuredFoot({ 'foot-length': mm })
  const on = {
    child: child({ feet: { left: own, right: foot() } }),
    asOf: AS_OF,
    ages: agesAt(now),
  }
  return sizesUntil({ on, side: 'left', chart, age: months(age) }, RULES)
}
const known = (found: SizeSuccession | 'unknown') => {
  if (found === 'unknown') throw new Error('the test expects sizes')
  return found
}
const daysUntil = (date: string | undefined) => daysBetween(AS_OF, civilDate(date ?? ''))

test('the average child of 18 months needs one size more at 24 and one more at 36 months', () => {
  const { sizes } = known(until(47))

  expect(sizes.map(({ code }) => code)).toEqual(['until 24', 'until 36', 'until 48'])
  expect(sizes[0]?.from).toBe(AS_OF)
  // 6 and 18 months of 30.4375 days; the lengths are published to 0.1 mm, two days of growth.
  expect(Math.abs(daysUntil(sizes[1]?.from) - 183)).toBeLessThanOrEqual(3)
  expect(Math.abs(daysUntil(sizes[2]?.from) - 548)).toBeLessThanOrEqual(3)
})

test('only what is needed until the chosen age is counted', () => {
  expect(known(until(23.8)).sizes).toHaveLength(1)
  expect(known(until(24.2)).sizes).toHaveLength(2)
  expect(known(until(35.8)).sizes).toHaveLength(2)
  expect(known(until(36.2)).sizes).toHaveLength(3)
})

test('the day on which the last size of the chart is outgrown is told', () => {
  expect(known(until(47.8))).not.toHaveProperty('beyondChartFrom')
  expect(Math.abs(daysUntil(known(until(49)).beyondChartFrom) - 913)).toBeLessThanOrEqual(4)
})

test('an age that is reached already asks for the present size only', () => {
  expect(known(until(12))).toMatchObject({
    sizes: [{ code: 'until 24', from: AS_OF }],
    until: AS_OF,
  })
})

test('the count and the dates are said to the therapist and to the family', () => {
  const { because, sizes } = known(until(30))
  const from = civilDate(sizes[1]?.from ?? '')
  const said = (language: 'en' | 'es') =>
    Temporal.PlainDate.from(from).toLocaleString(language, { dateStyle: 'long' })

  expect(speaker('en').therapist(because)).toBe(
    `2 sizes until 30 months: until 24 now and until 36 from ${said('en')}. By length on the curve for the age in the child's own proportion; feet grow in spurts, so measure again each time.`,
  )
  expect(speaker('en').family(because)).toContain(
    `Until your child is 30 months old, we expect 2 sizes for this foot: until 24 now and until 36 from about ${said('en')}.`,
  )
  expect(speaker('es').therapist(because)).toContain(
    `2 tallas hasta los 30 meses: until 24 ahora y until 36 desde el ${said('es')}.`,
  )
})

test('a foot that is longer for its age needs the next size earlier', () => {
  const [, next] = known(until(30, 126)).sizes

  expect(daysUntil(next?.from)).toBeLessThan(150)
})

test('a foot measured a while ago is followed from that day, and nothing is needed before today', () => {
  const measured = { ...foot().measurements, 'foot-length': [taken(131, '2025-11-01')] }
  const of = child({ feet: { left: foot({ measurements: measured }), right: foot() } })
  const on = { child: of, asOf: AS_OF, ages: agesAt(30) }
  const found = known(sizesUntil({ on, side: 'left', chart: BY_AGE, age: months(33) }, RULES))

  expect(found.sizes.map(({ from }) => from)).toEqual([AS_OF, AS_OF])
})

const measuredBefore = (...lengths: ReturnType<typeof taken>[]) => {
  const measured = { ...foot().measurements, 'foot-length': lengths }
  const of = child({ feet: { left: foot({ measurements: measured }), right: foot() } })
  return { child: of, asOf: AS_OF, ages: agesAt(30) }
}

test('a size that is outgrown on the day it would begin is left out', () => {
  const [first, , last] = BY_AGE.sizes
  const short = size({ ...first, code: 'short', footLength: { min: 135.6, max: 136 } })
  const chart = chartOf(...(first && last ? [first, short, last] : []))
  const on = measuredBefore(taken(131, '2025-11-01'))
  const found = known(sizesUntil({ on, side: 'left', chart, age: months(33) }, RULES))

  // 131 mm at 26 months are about 136 mm at 30: past 132.6 and 133, the ends less the reserve.
  expect(found.sizes.map(({ code }) => code)).toEqual(['until 24', 'until 48'])
})

test('the answer rests on the measure from which the foot is followed', () => {
  expect(known(until(30)).evidence).toEqual([taken(122.7).evidence])
})

test('an older length does not stand in for two of the newest day that disagree', () => {
  const on = measuredBefore(taken(120, '2025-09-01'), taken(131), taken(133))

  expect(sizesUntil({ on, side: 'left', chart: BY_AGE, age: months(33) }, RULES)).toBe('unknown')
})

test('the first change is the refit date of the sizing', () => {
  const own = measuredFoot({ 'foot-length': 122.7 })
  const on = { child: child({ feet: { left: own, right: own } }), asOf: AS_OF, ages: agesAt(18) }
  const { refit } = sizing(on, GENERIC_SIZE_CHART, RULES).left

  expect(refit?.median).toBeDefined()
  expect(known(until(30, 122.7, { chart: GENERIC_SIZE_CHART })).sizes[1]?.from).toBe(refit?.median)
})

test('unknown without a length, without a size that fits, and outside the ages of the curve', () => {
  const nothing = { child: child(), asOf: AS_OF, ages: agesAt(18) }
  const asked = { on: nothing, side: 'left', chart: BY_AGE, age: months(30) } as const

  expect(sizesUntil(asked, RULES)).toBe('unknown')
  expect(until(47, 170)).toBe('unknown')
  expect(until(82)).not.toBe('unknown')
  expect(until(82.1)).toBe('unknown')
  expect(until(84, 150, { now: 83 })).toBe('unknown')
})

const anyChart: fc.Arbitrary<SizeChart> = fc
  .array(fc.integer({ min: 2, max: 15 }), { minLength: 1, maxLength: 8 })
  .map((steps) => {
    const ends = steps.reduce<number[]>((all, step) => [...all, (all.at(-1) ?? 120) + step], [])
    return chartOf(
      ...ends.map((max, index) =>
        size({ code: `${index}`, footLength: { min: ends[index - 1] ?? 110, max }, maxTrim: 200 }),
      ),
    )
  })

test('a later age never needs fewer sizes, and each begins after the one before', () => {
  const ages = fc.tuple(fc.integer({ min: 18, max: 80 }), fc.integer({ min: 18, max: 80 }))
  fc.assert(
    fc.property(anyChart, ages, fc.integer({ min: 112, max: 130 }), (chart, [a, b], mm) => {
      const early = until(Math.min(a, b), mm, { chart })
      const late = until(Math.max(a, b), mm, { chart })
      fc.pre(early !== 'unknown' && late !== 'unknown')
      const days = known(late).sizes.map(({ from }) => from)

      expect(days).toEqual(days.toSorted())
      expect(known(late).sizes.slice(0, known(early).sizes.length)).toEqual(known(early).sizes)
    }),
    { numRuns: 60 },
  )
})

test('one size, several and a chart that ends are said in both languages to both readers', () => {
  const outcomes = [until(20), until(47), until(49)].map((found) => known(found).because)

  expect(speaker('en').therapist(outcomes[0] ?? { all: [] })).toMatch(/^1 size until 20 months: /)
  expect(speaker('en').therapist(outcomes[2] ?? { all: [] })).toMatch(/chart has no longer size/)
  expect(faultsInVoices(outcomes)).toEqual([])
})
