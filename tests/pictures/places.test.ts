import { assert, property } from 'fast-check'
import { expect, test } from 'vitest'
import type { PictureFacts } from '../../src/pictures/picture-facts.ts'
import { drawPicture, type PictureKind } from '../../src/pictures/picture.ts'
import { anyPictureFacts } from '../helpers/any-picture.ts'
import { allOf, numberOf, type SvgElement, withData } from '../helpers/svg.ts'

// Where a shape is drawn is read against the numbers of its own axis: it says the value that it carries.

/** A picture needs a whole triage each. */
const RUNS = { numRuns: 30 }

type Of = (value: number) => number

/** The place of a value, by the second and the third number of an axis: the outer ones may stand further inside. */
function scaleOf(svg: string, tick: string, at: 'x' | 'y', shift = 0): Of {
  const ticks = withData(svg, tick).map((one) => [
    numberOf(one, tick),
    Number(one.attributes[at]) + shift,
  ])
  const after = ticks.findIndex(([value = 0], index) => value < (ticks[index - 1]?.[0] ?? value))
  const own = after < 0 ? ticks : ticks.slice(0, after)
  const [, [from = NaN, first = NaN] = [], [to = NaN, second = NaN] = []] = own
  return (value) => first + ((value - from) * (second - first)) / (to - from)
}

const holds = (kind: PictureKind, check: (svg: string, facts: PictureFacts) => void): void =>
  assert(
    property(anyPictureFacts, (facts) =>
      check(drawPicture(kind, facts, { language: 'en' }).svg, facts),
    ),
    RUNS,
  )
const within = (element: SvgElement, name: string): SvgElement[] =>
  allOf(element).filter((one) => one.name === name)
const attribute = (element: SvgElement | undefined, name: string): number =>
  Number(element?.attributes[name])

/** The middle of a shape of a foot: a circle, or a square of 6.4. */
const middleOf = (shape: SvgElement, axis: 'x' | 'y'): number =>
  shape.name === 'circle' ? attribute(shape, `c${axis}`) : attribute(shape, axis) + 3.2

/** Half a unit, half a pixel at 360: the scale is made of two places that are written to 1/100. */
const NEAR = 0

test('milestones: window, last look without it and first look with it stand at their months', () => {
  holds('milestones', (svg) => {
    const x = scaleOf(svg, 'tick', 'x')
    for (const row of withData(svg, 'milestone')) {
      const [window] = within(row, 'rect')
      const seen = within(row, 'circle').map((one) => attribute(one, 'cx'))
      const months = ['from', 'to'].flatMap((end) => {
        const age = numberOf(row, end)
        return age > 0 || (end === 'to' && age >= 0) ? [x(age)] : []
      })

      expect(attribute(window, 'x')).toBeCloseTo(x(numberOf(row, 'p1')), NEAR)
      expect(attribute(window, 'x') + attribute(window, 'width')).toBeCloseTo(
        x(numberOf(row, 'p99')),
        NEAR,
      )
      expect(seen).toHaveLength(months.length)
      seen.forEach((place, index) => expect(place).toBeCloseTo(months[index] ?? NaN, NEAR))
    }
  })
})

test('growth: each foot stands at its age and its millimetres', () => {
  holds('growth', (svg) => {
    const [x, y] = [scaleOf(svg, 'tick', 'x'), scaleOf(svg, 'length-tick', 'y', -4)]
    for (const point of withData(svg, 'mm')) {
      expect(middleOf(point, 'x')).toBeCloseTo(x(numberOf(point, 'age')), NEAR)
      expect(middleOf(point, 'y')).toBeCloseTo(y(numberOf(point, 'mm')), NEAR)
    }
  })
})

test('wear: each bar is as long as its minutes, and the line stands at the target', () => {
  holds('wear', (svg) => {
    const x = scaleOf(svg, 'tick', 'x')
    for (const day of withData(svg, 'minutes')) {
      const [bar] = within(day, 'rect')
      expect(attribute(bar, 'x')).toBeCloseTo(x(0), NEAR)
      expect(attribute(bar, 'x') + attribute(bar, 'width')).toBeCloseTo(
        x(numberOf(day, 'minutes') / 60),
        NEAR,
      )
    }
    for (const line of withData(svg, 'target'))
      expect(attribute(line, 'x1')).toBeCloseTo(x(numberOf(line, 'target') / 60), NEAR)
  })
})

test('posture: the sum of the index stands at its points', () => {
  holds('posture', (svg) => {
    const x = scaleOf(svg, 'tick', 'x')
    for (const foot of withData(svg, 'sum')) {
      const shapes = allOf(foot).filter(
        ({ name, attributes }) => name === 'circle' || attributes['width'] === '6.4',
      )

      expect(shapes).toHaveLength(1)
      for (const shape of shapes)
        expect(middleOf(shape, 'x')).toBeCloseTo(x(numberOf(foot, 'sum')), NEAR)
    }
  })
})
