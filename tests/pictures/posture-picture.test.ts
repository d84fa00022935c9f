import { assert, property } from 'fast-check'
import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import { SIDES } from '../../src/domain/child.ts'
import { PLANES } from '../../src/domain/foot/posture.ts'
import { degrees } from '../../src/domain/units.ts'
import { drawPicture } from '../../src/pictures/picture.ts'
import type { PictureFacts } from '../../src/pictures/picture-facts.ts'
import { anyPictureFacts, factsOf } from '../helpers/any-picture.ts'
import { child, fact, foot } from '../helpers/child.ts'
import { numberOf, textsOf, withData } from '../helpers/svg.ts'

const drawn = (facts: PictureFacts) => drawPicture('posture', facts, { language: 'en' }).svg
const known = (facts: PictureFacts | undefined): PictureFacts => {
  if (facts === undefined) throw new Error('no facts')
  return facts
}

/** A picture needs a whole triage each. */
const RUNS = { numRuns: 40 }

test('each plane of each foot stands with what was found, by which measure', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const found = withData(drawn(facts), 'plane').map(({ attributes }) => [
        attributes['data-plane'],
        attributes['data-foot'],
        attributes['data-holds'],
        attributes['data-marked'],
        attributes['data-measure'],
      ])

      expect(found).toEqual(
        PLANES.flatMap((plane) =>
          SIDES.flatMap((side) =>
            facts.triage.posture[side].planes
              .filter((one) => one.plane === plane)
              .map(({ finding, marked, measure }) => [plane, side, finding.holds, marked, measure]),
          ),
        ),
      )
    }),
    RUNS,
  )
})

test('a measure is drawn at its value: items of the index, degrees, millimetres, indices', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      for (const plane of withData(drawn(facts), 'measure')) {
        const side = plane.attributes['data-foot'] === 'left' ? 'left' : 'right'
        const { fpi, heelEversion, navicularDrop, staheliIndex, chippauxSmirakPercent } =
          facts.triage.child.feet[side]
        const items = fpi === 'unknown' ? {} : fpi.value
        const measure = plane.attributes['data-measure'] ?? ''
        const values: Readonly<Record<string, readonly (number | undefined)[]>> = {
          'fpi-item-3': [items[3]],
          'fpi-items-4-5': [items[4], items[5]],
          'fpi-item-6': [items[6]],
          'resting-heel-eversion': [heelEversion === 'unknown' ? undefined : heelEversion.value],
          'navicular-drop': [navicularDrop === 'unknown' ? undefined : navicularDrop.value],
          'staheli-index': [staheliIndex === 'unknown' ? undefined : staheliIndex.value],
          'chippaux-smirak-index': [
            chippauxSmirakPercent === 'unknown' ? undefined : chippauxSmirakPercent.value,
          ],
        }
        const expected = values[measure]?.filter((value) => value !== undefined)

        expect(plane.attributes['data-values']?.split(' ').map(Number), measure).toEqual(expected)
      }
    }),
    RUNS,
  )
})

test('the sum of the index, or its bounds, is that of the finding; an unknown one is said', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const svg = drawn(facts)
      const rows = withData(svg, 'index')
      for (const [index, side] of SIDES.entries()) {
        const { fpi } = facts.triage.posture[side]
        const row = rows[index]?.attributes ?? {}

        expect([row['data-sum'], row['data-low'], row['data-high'], row['data-band']]).toEqual([
          fpi?.sum?.toString(),
          fpi?.low.toString(),
          fpi?.high.toString(),
          fpi?.band,
        ])
      }
      const unknown = SIDES.filter((side) => facts.triage.posture[side].fpi === undefined)
      expect(textsOf(svg).filter((text) => text === 'not recorded')).toHaveLength(unknown.length)
    }),
    RUNS,
  )
})

/** Invented: both heels everted by 8 degrees. */
const at = (birthDate: string) => {
  const everted = foot({
    heelEversion: fact(degrees(8)),
    fpi: fact({ 1: 1, 2: 1, 3: 1, 4: 1, 5: 1, 6: 1 }),
  })
  const who = child({
    birthDate: fact(civilDate(birthDate)),
    feet: { left: everted, right: everted },
  })
  return drawn(known(factsOf(who, civilDate('2026-06-15'))))
}

test('the heel of a child of two years stands against five to six degrees: 7 or 8 less the age', () => {
  const [left] = withData(at('2024-06-15'), 'heel')

  expect(left === undefined ? [] : [numberOf(left, 'degrees')]).toEqual([8])
  expect(left === undefined ? 0 : numberOf(left, 'expected-low')).toBeCloseTo(5, 2)
  expect(left === undefined ? 0 : numberOf(left, 'expected-high')).toBeCloseTo(6, 2)
})

// Gijon-Nogueron 2019: mean 4, SD 3, 3-15 years; none below.
test('children of the age are drawn from three years on', () => {
  expect(textsOf(at('2024-06-15')).join(' ')).not.toContain('two SD either side')
  expect(textsOf(at('2022-06-15')).join(' ')).toContain(
    'children of this age: mean 4, two SD either side -2 to 10',
  )
})
