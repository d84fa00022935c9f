import { assert, property } from 'fast-check'
import { expect, test } from 'vitest'
import { drawPicture } from '../../src/pictures/picture.ts'
import { anyPictureFacts } from '../helpers/any-picture.ts'
import { allOf, numberOf, withData } from '../helpers/svg.ts'

/** A picture needs a whole triage each. */
const RUNS = { numRuns: 40 }

test('the bars of the urgency are the points of its contributions and add up to the score', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const { contributions, score, high } = facts.triage.urgency
      const { svg } = drawPicture('urgency', facts, { language: 'en' })
      const bars = withData(svg, 'contribution')

      expect(bars.map(({ attributes }) => attributes['data-contribution'])).toEqual(
        contributions.map(({ id }) => id),
      )
      for (const [index, { points, high: most, max }] of contributions.entries()) {
        const bar = bars[index]
        if (bar === undefined) throw new Error('a bar is missing')
        expect([numberOf(bar, 'points'), numberOf(bar, 'high'), numberOf(bar, 'max')]).toEqual([
          points,
          most,
          max,
        ])
        // Where one ends the next begins.
        const next = bars[index + 1]
        const end = numberOf(bar, 'start') + numberOf(bar, 'points')
        expect(end).toBeCloseTo(next === undefined ? score : numberOf(next, 'start'), 9)
      }
      const [sum] = withData(svg, 'sum')
      expect(sum === undefined ? [] : [numberOf(sum, 'points'), numberOf(sum, 'high')]).toEqual([
        score,
        high,
      ])
    }),
    RUNS,
  )
})

test('each bar begins and ends where its points lie on the axis from 0 to 100', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const { svg } = drawPicture('urgency', facts, { language: 'en' })
      const tick = (value: number) =>
        Number(
          withData(svg, 'tick').find((one) => numberOf(one, 'tick') === value)?.attributes['x'],
        )
      // The last tick stands a little inside of its line, so the first two give the scale.
      const unit = (tick(40) - tick(20)) / 20
      for (const bar of withData(svg, 'contribution')) {
        const drawn = allOf(bar).findLast(({ name }) => name === 'rect')
        const [x, width] = [Number(drawn?.attributes['x']), Number(drawn?.attributes['width'])]

        expect(x).toBeCloseTo(tick(20) + (numberOf(bar, 'start') - 20) * unit, 1)
        expect(width).toBeCloseTo(numberOf(bar, 'points') * unit, 1)
      }
    }),
    RUNS,
  )
})
