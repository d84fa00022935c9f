import { assert, property } from 'fast-check'
import { expect, test } from 'vitest'
import { SIDES } from '../../src/domain/child.ts'
import { footDimensions } from '../../src/domain/device/dimensions.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { drawPicture } from '../../src/pictures/picture.ts'
import type { PictureFacts } from '../../src/pictures/picture-facts.ts'
import { anyPictureFacts } from '../helpers/any-picture.ts'
import { numberOf, textsOf, withData } from '../helpers/svg.ts'

const drawn = (facts: PictureFacts) => drawPicture('growth', facts, { language: 'en' }).svg

/** A picture needs a whole triage each. */
const RUNS = { numRuns: 40 }

test('every usable length of each foot stands on its day with its millimetres, and no other', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const { child, asOf, ages } = facts.triage
      const points = withData(drawn(facts), 'mm').map((point) => [
        point.attributes['data-foot'],
        point.attributes['data-on'],
        numberOf(point, 'mm'),
      ])
      const known = SIDES.flatMap((side) =>
        footDimensions(
          { foot: child.feet[side], side, asOf, age: ages.chronologicalMonths },
          facts.rules,
        )
          .lengths.toSorted((a, b) => a.on.localeCompare(b.on))
          .map(({ on, mm }) => [side, on, mm]),
      )

      expect(points).toEqual(known)
    }),
    RUNS,
  )
})

test('the range of the refit has the days of the forecast, at the limit less the reserve', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const { sizing } = facts.triage
      const ranges = withData(drawn(facts), 'refit').map(({ attributes }) => ({
        side: attributes['data-refit'],
        earliest: attributes['data-earliest'],
        median: attributes['data-median'],
        latest: attributes['data-latest'],
        at: Number(attributes['data-at']),
      }))

      expect(ranges).toEqual(
        SIDES.flatMap((side) => {
          const { refit } = sizing[side]
          if (refit?.earliest === undefined) return []
          const { earliest, median, latest, limitMm } = refit
          return [{ side, earliest, median, latest, at: limitMm - 3 }]
        }),
      )
    }),
    RUNS,
  )
})

test('a size in view has the ends of its chart; where a refit is not foretold it is said', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const svg = drawn(facts)
      for (const size of withData(svg, 'size')) {
        const row = GENERIC_SIZE_CHART.sizes.find(
          ({ code }) => code === size.attributes['data-size'],
        )
        expect([numberOf(size, 'min'), numberOf(size, 'max')]).toEqual([
          row?.footLength.min,
          row?.footLength.max,
        ])
      }
      const text = textsOf(svg).join(' ')
      for (const side of SIDES)
        expect(text.includes(`When the ${side} foot outgrows its size cannot be foretold.`)).toBe(
          facts.triage.sizing[side].refit === undefined,
        )
    }),
    RUNS,
  )
})

test('it says that no orthosis is proposed to whoever has none and gets none', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const isSaid = textsOf(drawn(facts)).join(' ').includes('No orthosis is proposed')
      expect(isSaid).toBe(facts.plan === undefined && facts.fitting === undefined)
    }),
    RUNS,
  )
})
