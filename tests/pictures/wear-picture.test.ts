import { assert, property } from 'fast-check'
import { expect, test } from 'vitest'
import { drawPicture } from '../../src/pictures/picture.ts'
import { anyPictureFacts, factsOf } from '../helpers/any-picture.ts'
import { seedChildren } from '../helpers/seed-children.ts'
import { numberOf, textsOf, withData } from '../helpers/svg.ts'

/** A picture needs a whole triage each. */
const RUNS = { numRuns: 40 }

test('each day of the plan, or of devices that are worn, has its minutes; a child without either has a sentence', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const { svg } = drawPicture('wear', facts, { language: 'en' })
      const days = withData(svg, 'minutes').map((day) => ({
        day: numberOf(day, 'day'),
        minutes: numberOf(day, 'minutes'),
      }))

      const { plan, fitting } = facts
      const isStopped = fitting?.isStopped === true
      expect(days).toEqual(isStopped ? [] : ((fitting ?? plan)?.wear.days ?? []))
      expect(textsOf(svg).join(' ').includes('There is no wearing schedule')).toBe(
        plan === undefined && fitting === undefined,
      )
    }),
    RUNS,
  )
})

test('the invented walker starts with half an hour and ends with six, said beside each bar', () => {
  const walker = seedChildren().find(({ name }) => name === 'suitable-walker')
  const facts = walker === undefined ? undefined : factsOf(walker.child, walker.asOf)
  if (facts === undefined) throw new Error('no facts')
  const { svg } = drawPicture('wear', facts, { language: 'en' })
  const [first] = withData(svg, 'minutes')
  const last = withData(svg, 'minutes').at(-1)

  expect(first?.children.map(({ text }) => text)).toEqual(['Day 1', '', '30 min'])
  expect(last?.children.map(({ text }) => text)).toEqual(['Day 14', '', '360 min'])
  expect(withData(svg, 'target').map((one) => numberOf(one, 'target'))).toEqual([360])
  expect(withData(svg, 'barefoot').map((one) => numberOf(one, 'barefoot'))).toEqual([60])
})
