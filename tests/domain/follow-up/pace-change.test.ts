import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { MILESTONES } from '../../../src/domain/child.ts'
import {
  isAfter,
  paceChange,
  type PaceChangeBasis,
  probabilityAboveZero,
  quantileWithin,
} from '../../../src/domain/follow-up/pace-change.ts'
import {
  averageOver,
  posterior,
  tauQuantile,
} from '../../../src/domain/development/tempo-posterior.ts'
import { type Observation, tauAt } from '../../../src/domain/development/tempo-residual.ts'
import {
  bruteForce,
  drawNormal,
  evenPace,
  seeded,
  simulated,
} from '../../helpers/pace-change-cases.ts'
import { TEMPO_CASES } from '../../helpers/tempo-cases.ts'

const of = (known: Partial<PaceChangeBasis>) =>
  paceChange({ observations: [], fittedAt: 12, priorSd: 0.4, priorSdChange: 0.4, ...known })
const faster = (known: Partial<PaceChangeBasis>) => probabilityAboveZero(of(known).change)
const mean = (found: ReturnType<typeof of>['change']) =>
  averageOver(
    found,
    found.mass.map((_, index) => tauAt(found.grid, index)),
  )

/** Sat by 10 months, stood held and crawled by 16, fitted then; stood and walked by 18. */
const QUICK: readonly Observation[] = [
  { milestone: 'sitting-without-support', from: 8, to: 10 },
  { milestone: 'standing-with-assistance', from: 14, to: 16 },
  { milestone: 'hands-and-knees-crawling', from: 14, to: 16 },
  { milestone: 'walking-with-assistance', from: 16, to: 17 },
  { milestone: 'standing-alone', from: 16, to: 18 },
  { milestone: 'walking-alone', from: 17, to: 19 },
]
/** As quick as most to 14 months, and nothing new in the year after. */
const SLOW: readonly Observation[] = [
  { milestone: 'sitting-without-support', from: 0, to: 8 },
  { milestone: 'standing-with-assistance', from: 8, to: 11 },
  { milestone: 'hands-and-knees-crawling', from: 11, to: 14 },
  { milestone: 'walking-with-assistance', from: 26, to: null },
  { milestone: 'walking-alone', from: 26, to: null },
]

for (const [name, observations, fittedAt] of [
  ['faster', QUICK, 16],
  ['slower', SLOW, 14],
] as const)
  test(`a child who gets ${name}: the posterior is that of a finer sum without tables`, () => {
    const found = of({ observations, fittedAt })
    const expected = bruteForce({ observations, fittedAt })

    expect(mean(found.before)).toBeCloseTo(expected.tau, 3)
    expect(mean(found.change)).toBeCloseTo(expected.change, 3)
    expect(probabilityAboveZero(found.change)).toBeCloseTo(expected.faster, 3)
    expect(mean(found.after)).toBeCloseTo(expected.tau - expected.change, 3)
  })

test('the child who gets faster and the one who gets slower are told apart', () => {
  expect(faster({ observations: QUICK, fittedAt: 16 })).toBeGreaterThan(0.9)
  expect(faster({ observations: SLOW, fittedAt: 14 })).toBeLessThan(0.1)
})

test('without data after the fitting the change is its prior, and the pace before the plain one', () => {
  for (const { seen } of Object.values(TEMPO_CASES)) {
    const found = of({ observations: seen, fittedAt: 24 })
    const plain = posterior(seen, 0.4)

    // 1.645 SD to either side hold 90 % of a normal distribution: 0.4 x 1.6449 = 0.6579.
    expect(quantileWithin(found.change, 0.05)).toBeCloseTo(-0.658, 3)
    expect(quantileWithin(found.change, 0.95)).toBeCloseTo(0.658, 3)
    expect(probabilityAboveZero(found.change)).toBeCloseTo(0.5, 9)
    for (const share of [0.05, 0.5, 0.95])
      expect(
        Math.abs(quantileWithin(found.before, share) - tauQuantile(plain, share)),
      ).toBeLessThan(0.0025)
  }
})

test('with the change held at none, the pace before and after is the plain one', () => {
  for (const { seen } of Object.values(TEMPO_CASES)) {
    const found = of({ observations: seen, fittedAt: 10, priorSdChange: 1e-6 })
    const plain = posterior(seen, 0.4)

    for (const share of [0.05, 0.5, 0.95])
      for (const pace of [found.before, found.after])
        expect(Math.abs(quantileWithin(pace, share) - tauQuantile(plain, share))).toBeLessThan(
          0.0025,
        )
  }
})

for (const tempo of [0.5, 0.7])
  test(`simulated children of an even pace of ${tempo}: on average as likely faster as slower`, () => {
    const random = seeded(11)
    const pace = { before: tempo, after: tempo }
    const visits = [6, 9, 12, 15, 18, 21, 24, 30]
    const found = Array.from({ length: 60 }, () =>
      faster(simulated(pace, { fittedAt: 9 / tempo, visits, random })),
    )

    expect(found.reduce((sum, one) => sum + one, 0) / found.length).toBeGreaterThan(0.4)
    expect(found.reduce((sum, one) => sum + one, 0) / found.length).toBeLessThan(0.6)
  })

const LATER = MILESTONES.filter((milestone) => milestone !== 'hands-and-knees-crawling')
/** Looks before the fitting, at it, and once or twice after; what was there stays. */
const anyCourse = fc
  .record({
    fittedAt: fc.double({ min: 8, max: 24, noNaN: true }),
    gaps: fc.array(fc.double({ min: 0.5, max: 6, noNaN: true }), { minLength: 2, maxLength: 2 }),
    first: fc.array(fc.nat({ max: 4 }), { minLength: LATER.length, maxLength: LATER.length }),
  })
  .map(({ fittedAt, gaps, first }) => {
    const looks = [fittedAt - 3, fittedAt, fittedAt + (gaps[0] ?? 0)]
    const visits = [...looks, (looks[2] ?? 0) + (gaps[1] ?? 0)]
    const observations = LATER.map((milestone, index): Observation => {
      const at = first[index] ?? 0
      return { milestone, from: visits[at - 1] ?? 0, to: visits[at] ?? null }
    })
    return { fittedAt, last: visits[3] ?? 0, observations }
  })

test('one more milestone at the latest look never lowers the probability of a faster pace', () => {
  fc.assert(
    fc.property(anyCourse, fc.nat({ max: 4 }), ({ fittedAt, last, observations }, pick) => {
      const open = observations.filter(({ to }) => to === null)
      fc.pre(open.length > 0)
      const gained = open[pick % open.length]
      const more = observations.map((one) => (one === gained ? { ...one, from: 0, to: last } : one))

      expect(faster({ observations: more, fittedAt })).toBeGreaterThanOrEqual(
        faster({ observations, fittedAt }) - 1e-6,
      )
    }),
    { numRuns: 60 },
  )
})

/** Slow to 14 months, fitted then; nobody saw the child walk at the fitting. */
const walkingSeenAt = (to: number) => {
  const walking = { milestone: 'walking-alone', from: 14, to } as const
  return faster({ observations: [...evenPace(0.6, 14), walking], fittedAt: 14 })
}

test('the sooner the next milestone is seen, from three months on, the likelier the pace is faster', () => {
  const found = [17, 18, 20, 24, 30].map(walkingSeenAt)

  expect(found).toEqual(found.toSorted((a, b) => b - a))
  expect(found[0]).toBeGreaterThan((found.at(-1) ?? 1) + 0.1)
})

test('a milestone seen right after the fitting was on its way: it speaks for the pace before too', () => {
  expect(walkingSeenAt(15)).toBeLessThan(walkingSeenAt(16))
  expect(walkingSeenAt(14.1)).toBeLessThan(walkingSeenAt(15))
})

test('the order of the observations does not matter', () => {
  const other = faster({ observations: QUICK.toReversed(), fittedAt: 16 })

  expect(other).toBeCloseTo(faster({ observations: QUICK, fittedAt: 16 }), 9)
})

test('observations that no pace explains are refused as implausible checks', () => {
  const impossible = MILESTONES.map((milestone) => ({ milestone, from: 0, to: 0.001 }))

  expect(() => of({ observations: impossible })).toThrow(
    expect.objectContaining({ name: 'ImplausibleRecord', element: 'milestoneChecks' }),
  )
  expect(() => of({ observations: impossible })).toThrow(
    'no pace of development explains the checks',
  )
})

/** Points 0.02 apart from 0 on, each with the mass within 0.01 of it. */
const points = (...mass: readonly number[]) => ({
  grid: { first: 0, stride: 20, length: mass.length },
  mass: Float64Array.from(mass),
})

test('a share is reached where the mass before it ends, also before a gap and at the end of all', () => {
  expect(quantileWithin(points(0.5, 0.5), 0.25)).toBeCloseTo(0, 9)
  expect(quantileWithin(points(0.5, 0, 0.5), 0.5)).toBeCloseTo(0.01, 9)
  expect(quantileWithin(points(0.5, 0, 0.5), 0.75)).toBeCloseTo(0.04, 9)
  expect(quantileWithin(points(0.5, 0.5 - 1e-12), 1)).toBeCloseTo(0.03, 9)
})

test('of the mass at none, half is above it, also where the points begin there', () => {
  expect(probabilityAboveZero(points(0.4, 0.6))).toBeCloseTo(0.8, 9)
})

test('an observation is after the fitting when one of its looks is, not when it is on the day', () => {
  const seen = (from: number, to: number | null) =>
    isAfter({ milestone: 'walking-alone', from, to }, 12)

  expect([seen(0, 12), seen(12, null), seen(0, 11), seen(11, null)]).toEqual(Array(4).fill(false))
  expect([seen(0, 12.01), seen(12.01, null), seen(11, 13)]).toEqual(Array(3).fill(true))
})

/** 180 slow children, the change drawn from its prior: 90 % of intervals should hold it, SE 2.2 %. */
test('simulated children: the 90 % interval of the change holds the truth at about its rate', () => {
  const random = seeded(20_260_301)
  const visits = [6, 9, 12, 15, 18, 21, 24, 30]
  const held = Array.from({ length: 180 }, () => {
    const change = drawNormal(random, 0.4)
    const before = Math.exp(-0.4 - drawNormal(random, 0.3))
    const child = simulated(
      { before, after: before * Math.exp(change) },
      { fittedAt: 15, visits, random },
    )
    const found = of(child).change
    return quantileWithin(found, 0.05) <= change && change <= quantileWithin(found, 0.95)
  })

  const share = held.filter(Boolean).length / held.length
  expect(share).toBeGreaterThan(0.83)
  expect(share).toBeLessThan(0.97)
})

/** Why the text says low certainty: the interval is drawn towards "no change". */
test('a doubled pace is underestimated, and its interval holds it less often than nine times in ten', () => {
  const random = seeded(99)
  const visits = [6, 9, 12, 15, 18, 21, 24, 30]
  const found = Array.from({ length: 60 }, () => {
    const before = Math.exp(-0.4 - drawNormal(random, 0.3))
    const child = simulated({ before, after: 2 * before }, { fittedAt: 15, visits, random })
    return of(child).change
  })
  const held = found.filter((change) => quantileWithin(change, 0.95) >= Math.log(2))
  const medians = found.map((change) => quantileWithin(change, 0.5))

  expect(held.length / found.length).toBeGreaterThan(0.4)
  expect(held.length / found.length).toBeLessThan(0.8)
  expect(medians.filter((median) => median < Math.log(2)).length).toBeGreaterThan(45)
  expect(medians.filter((median) => median > 0).length).toBeGreaterThan(40)
})

test('simulated children whose pace doubles are found faster, those of one pace are not', () => {
  const random = seeded(7)
  const visits = [6, 9, 12, 15, 16.5, 18, 21, 24]
  const medianOf = (ratio: number) => {
    const found = Array.from({ length: 25 }, () =>
      faster(simulated({ before: 0.5, after: 0.5 * ratio }, { fittedAt: 15, visits, random })),
    )
    return found.toSorted((a, b) => a - b)[12] ?? Number.NaN
  }

  expect(medianOf(2)).toBeGreaterThan(0.9)
  expect(medianOf(1)).toBeGreaterThan(0.2)
  expect(medianOf(1)).toBeLessThan(0.8)
})
